"""How cultivar names are written.

Source: International Code of Nomenclature for Cultivated Plants, 9th edition (Scripta Horticulturae 18, ISHS 2016), as summed
up by FAO's note on poplar registration and Cornell's course notes on nomenclature: single quotes, a capital to each main
word, not to conjunctions, prepositions or what follows a hyphen, no double quotes, no "cv.".
"""

import pytest

from graftbook.lineage.epithets import bare, quoted


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("Kingston Black", "'Kingston Black'"),
        ("kingston black", "'Kingston Black'"),
        ('"Kingston Black"', "'Kingston Black'"),
        ("cv. Kingston Black", "'Kingston Black'"),
        ("‘Kingston  Black’", "'Kingston Black'"),
        ("reine des reinettes", "'Reine des Reinettes'"),
        ("Beauty Of The Bog", "'Beauty of the Bog'"),
        ("the hill", "'The Hill'"),
        ("belle-fleur jaune", "'Belle-fleur Jaune'"),
        ("tolm's pippin", "'Tolm's Pippin'"),
        ("Tolm’s Pippin", "'Tolm’s Pippin'"),
        ("d'arvel", "'D'Arvel'"),
        ("poire d'arvel", "'Poire d'Arvel'"),
        ("élan d’été", "'Élan d’Été'"),
        ("østpearmain", "'Østpearmain'"),
        ("McArdle", "'McArdle'"),
        ("Seedling A", "'Seedling A'"),
        ("12-47", "'12-47'"),
    ],
)
def test_an_epithet_stands_in_single_quotes_with_its_capitals(typed, written):
    assert written == quoted(typed)


def test_an_apostrophe_at_the_end_alone_is_no_quote():
    assert "Growers'" == bare("Growers'")
