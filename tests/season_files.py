"""A small season as the text of its four CSV files."""

PLANTS = """code,kind,taxon,cultivar,clone,diameter_mm,place,acquired_on,died_on
P1,tree,apple,Stoneway Pearmain,,,Top row,2015-01-02,
P2,stock,,,MM 106,3/8in,Bench,2026-11-01,
P3,stock,apple,,seedling,8mm,Bench,2026-11-01,2027-06-01
"""
WOOD = "code,source,cut_on,sticks,buds_per_stick\nW1,P1,2027-01-10,4,6\nW2,G1,2027-08-10,2,\n"
GRAFTS = (
    "code,wood,host,method,made_on,buds,tie\n"
    "G1,W1,P2,whip and tongue,2027-03-01,3,rubber\nG2,W1,P3,cleft,2027-03-01,3,\nG3,W2,G1,chip,2027-09-01,1,\n"
)
LOOKS = (
    "graft,on,state,shoot_mm,union\nG1,2027-05-01,growing,12cm,\nG1,2027-06-01,growing,300,\nG2,2027-06-01,dead,,no\n"
)
