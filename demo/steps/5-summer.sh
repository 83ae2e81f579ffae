part 'Round in May' 2026-05-10

say 'The tick sheet of the round is typed up and imported. A plant stands for its only open graft.'
graftbook import "$data/may-2026"
graftbook look P38-P40 pushing --who Bren
graftbook look G119-G121 pushing --except G120 --who Bren
graftbook look G120 dead --cause 'dried out' --union unsure --stock-fate alive --who Bren

part 'A page typed late at night' 2026-05-24

say 'Every bad line is named at once, and nothing of the page is taken.'
refused 3 import "$data/mistakes"

part 'What is due' 2026-06-20

graftbook due --place 'nursery bed' --brief
graftbook care P38-P40 tie-released --who Bren

say 'Rows are looked at with their exceptions: G117 was undone, G120 is dead, G116 sits.'
graftbook look G114-G121 growing --shoot 14cm --except G116,G117,G120 --who Ada
graftbook look G116 no-movement --who Ada
graftbook look G90-G99 growing --except G92,G94,G97-G98 --who Ada
graftbook look G94 dead --union unsure --who Ada

say 'A look written on the wrong row is undone, and stays in the journal.'
graftbook look G119 dead --cause wind --union no --who Mo
wrong=$(newest_entry)
graftbook undo "$wrong" --who Mo --note 'Was G120, dead already'
graftbook journal --limit 2
graftbook history G119

part 'The end of summer' 2026-09-19

graftbook look G114-G121 growing --except G115-G117,G120 --who Ada
graftbook look G115 dead --cause deer --union no --stock-fate alive --who Ada
graftbook look G116 swelling --note 'Green under the bark, buds fat' --who Ada
graftbook look G90-G99 growing --except G92,G94,G97-G98 --who Ada
