"""What the grafting trade knows, as tables with their sources, and the questions a grower puts to them."""

from graftbook.trade import (
    aftercare,
    bark_thickness,
    callus,
    cautions,
    clones,
    keeping,
    methods,
    own,
    pairs,
    sources,
    stages,
    tables,
    takes,
    taxa,
)

__all__ = [
    "aftercare", "bark_thickness", "callus", "cautions", "clones", "keeping", "methods", "own", "pairs", "sources",
    "stages", "tables", "takes", "taxa",
]  # fmt: skip
