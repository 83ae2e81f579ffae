"""Kinds, methods, rootstocks and stages found under the names people give them."""

import pytest

from graftbook.trade import clones, methods, stages, tables, taxa


@pytest.mark.parametrize(
    ("typed", "taxon"),
    [
        ("apple", "Malus domestica"), ("Apples", "Malus domestica"), ("MALUS PUMILA", "Malus domestica"),
        ("Malus x domestica", "Malus domestica"), ("Malus × domestica", "Malus domestica"),
        ("nashi", "Pyrus pyrifolia"), ("cherries", "Prunus avium"), ("Prunus amygdalus", "Prunus dulcis"),
        ("myrobalan", "Prunus cerasifera"), ("Poncirus trifoliata", "Citrus trifoliata"), ("lemon", "Citrus × limon"),
        ("Citrus x limon", "Citrus × limon"), ("che", "Maclura tricuspidata"), ("vinatigo", "Persea indica"),
        ("black currants", "Ribes nigrum"), ("Diospyros kaki [PCNA]", "Diospyros kaki [PCNA]"), ("pecan", "Carya illinoinensis"),
        ("Aria edulis", "Sorbus aria"), ("hawthorn", "Crataegus"),
    ],
)  # fmt: skip
def test_a_kind_is_found_under_any_of_its_names(typed, taxon):
    assert taxon == taxa.find(typed).taxon


def test_every_kind_is_found_under_every_name_in_its_row():
    for taxon in taxa.all():
        for name in (taxon.taxon, taxon.common, *taxon.names):
            assert taxon is taxa.find(name) or (taxa.find(name) is None and taxon in taxa.sharing(name)), name


def test_a_name_that_two_kinds_share_asks_which_unless_the_cultivar_tells():
    """Common practice: persimmon is the American species to some and the oriental to others; Fuyu is oriental."""
    assert {"Diospyros kaki", "Diospyros virginiana"} == {kind.taxon for kind in taxa.sharing("persimmons")}
    assert ["Diospyros kaki"] == [kind.taxon for kind in taxa.sharing("persimmon", "Fuyu")]
    assert () == taxa.sharing("apple")


def test_a_kind_not_known_is_none_and_the_nearest_spellings_are_offered():
    assert taxa.find("moon tree") is None
    assert "Malus domestica" == taxa.suggest("aple")[0]
    assert taxa.get("apple") is None
    assert "Malus" == taxa.genus_of("Malus sieversii").taxon
    assert taxa.genus_of("moon tree") is None


def test_a_cultivar_is_known_to_its_group():
    assert ["Diospyros kaki [PCNA]"] == [group.taxon for group in taxa.groups_of("Diospyros kaki", "'Fuyu'")]
    assert () == taxa.groups_of("Diospyros kaki", "")
    assert () == taxa.groups_of("Malus domestica", "Fuyu")


def test_traits_a_pruner_asks_for():
    assert taxa.find("apple").deciduous
    assert not taxa.find("lemon").deciduous
    assert taxa.find("trifoliate orange").deciduous
    assert taxa.find("grape").fruits_on_new_wood
    assert not taxa.find("peach").fruits_on_new_wood
    assert ["fig", "lacquer", "citrus", ""] == [taxa.find(name).sap for name in ("fig", "mango", "lemon", "apple")]


def test_short_names_fit_a_narrow_tag():
    assert all(1 <= len(taxon.short) <= 6 for taxon in taxa.all())


@pytest.mark.parametrize(
    ("typed", "method"),
    [
        ("W&T", "whip-and-tongue"), ("whip and tongue graft", "whip-and-tongue"), ("whip", "splice"),
        ("rind graft", "bark"), ("shield bud", "T-bud"), ("T budding", "T-bud"), ("chip budding", "chip-bud"),
        ("banana graft", "four-flap"), ("Cleft grafting", "cleft"), ("nut graft", "nurse-seed"),
        ("inlay bark graft", "bark"), ("omega punch", "omega"), ("plate bud", "patch-bud"), ("veneer", "side-veneer"),
    ],
)  # fmt: skip
def test_a_method_is_found_under_any_of_its_names(typed, method):
    assert method == methods.find(typed).method


def test_every_method_is_found_under_every_name_in_its_row():
    for method in methods.all():
        for name in (method.method, *method.names):
            assert method is methods.find(name), name
    assert methods.find("glueing") is None
    assert "whip-and-tongue" == methods.suggest("whip and tounge")[0]


@pytest.mark.parametrize(
    ("typed", "clone"),
    [
        ("M.111", "MM.111"), ("MM111", "MM.111"), ("emla 111", "MM.111"), ("mm 106", "MM.106"), ("Bud 9", "B.9"),
        ("Budagovsky 9", "B.9"), ("G 41", "G.41"), ("Geneva 41", "G.41"), ("CG.3041", "G.41"), ("OHF 87", "OHxF 87"),
        ("EMA", "Quince A"), ("Couderc 3309", "3309C"), ("Saint Julien A", "St Julien A"),
    ],
)  # fmt: skip
def test_a_rootstock_is_found_under_any_of_its_names(typed, clone):
    assert clone == clones.find(typed).key


def test_a_rootstock_knows_its_kind_and_keeps_a_row_for_each_source():
    found = clones.find("MM.106")

    assert "Malus domestica" == found.taxon
    assert {"extension-apples-malling", "omafra-rootstocks"} <= {row.source for row in found.rows}
    assert "semi-dwarf" in found.size
    assert all(taxa.get(clone.taxon) is not None for clone in clones.all())
    assert clones.find("Z.99") is None
    assert "MM.111" in clones.suggest("MM.11")


def test_rootstocks_that_hidden_viruses_kill_say_so():
    """Pacific Northwest Plant Disease Management Handbook, cherry: Prunus necrotic ringspot (Krymsk 5 and 6)."""
    assert clones.find("Krymsk 5").needs_clean_wood
    assert clones.find("Krymsk 6").needs_clean_wood
    assert not clones.find("MM.111").needs_clean_wood


def test_stages_run_from_dormant_to_resting():
    words = [stage.word for stage in stages.all()]

    assert ["dormant", "bud swell", "green tip", "mouse-ear", "tight cluster", "pink"] == words[:6]
    assert ["full bloom", "petal fall", "leafed out", "growing", "resting"] == words[6:]
    assert sorted(stages.order(word) for word in words) == [stages.order(word) for word in words]
    assert (0, 100) == (stages.order("dormant"), stages.order("resting"))


@pytest.mark.parametrize(
    ("typed", "crop", "word"),
    [
        ("bud break", "", "green tip"), ("Mouse ear", "", "mouse-ear"), ("in bloom", "", "full bloom"),
        ("BBCH 57", "pome", "pink"), ("57", "pome", "pink"), ("57", "vine", "growing"), ("BBCH 09", "stone", "green tip"),
        ("15", "", "leafed out"), ("91", "pome", "resting"),
    ],
)  # fmt: skip
def test_a_stage_is_found_by_word_or_code(typed, crop, word):
    assert word == stages.find(typed, crop).word


def test_a_stage_not_known_has_no_order_and_unknown_bark():
    assert stages.find("teatime") is None
    assert stages.find("BBCH 44") is None
    assert stages.order("teatime") is None
    assert "unknown" == stages.bark("teatime")
    assert ("full bloom",) == stages.suggest("blossum")


def test_bbch_codes_that_a_crop_lacks_are_not_made_up():
    """BBCH Monograph, U. Meier (ed.), 2001: stone fruit has no 07; the grapevine's leaves start at 11, and it has 05."""
    pome, stone, grape = (
        {row["code"] for row in tables.rows("stages") if row["scale"] == scale}
        for scale in ("pome", "stone", "grapevine")
    )

    assert "07" not in stone
    assert "10" in stone
    assert "10" not in grape
    assert {"05", "11"} <= grape
    assert "07" in pome
