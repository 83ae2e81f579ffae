"""Random books as threads: plants, bundles, sticks, grafts on plants and on grafts, and mixes, in the order of days."""

from datetime import date, timedelta

from hypothesis import strategies as st

from graftbook.lineage.threads import NONE, Mix, Threads

FIRST = date(2020, 1, 1)


class Making:
    """A book being made; plants first, then one thing a day."""

    def __init__(self, plants):
        self.codes = [f"P{number}" for number in range(plants)]
        self.parent, self.host = [NONE] * plants, [NONE] * plants
        self.day = [FIRST if number % 3 else None for number in range(plants)]
        self.end, self.plants, self.mixes = [None] * plants, plants, []
        self.kinds = ["P"] * plants

    def add(self, kind, parent=NONE, host=NONE, dated=True):
        number = len(self.codes)
        self.codes.append(f"{kind}{number}")
        self.kinds.append(kind)
        self.parent.append(parent)
        self.host.append(host)
        self.day.append(FIRST + timedelta(days=number) if dated else None)
        self.end.append(None)
        return number

    def of(self, *kinds):
        return [number for number, kind in enumerate(self.kinds) if kind in kinds]

    def done(self):
        return Threads(tuple(self.codes), self.parent, self.host, self.day, self.end, self.plants, tuple(self.mixes))


@st.composite
def books(draw, most=30):
    """Threads of up to `most` things beside the plants, with or without mixed wood."""
    book = Making(draw(st.integers(1, 5)))
    spent = set()
    for _ in range(draw(st.integers(0, most))):
        what = draw(st.sampled_from("WWSGGGGM"))
        bundles = [number for number in book.of("W") if number not in spent]
        sources = book.of("P", "G")
        if what == "W" or not bundles:
            book.add("W", draw(st.sampled_from([NONE, *sources])), dated=draw(st.integers(0, 9)) > 0)
        elif what == "S":
            book.add("S", draw(st.sampled_from(bundles)))
        elif what == "G":
            _graft(draw, book, bundles)
        elif len(bundles) > 1:
            _mix(draw, book, bundles, spent)
    for number in book.of("P", "G"):
        if draw(st.integers(0, 5)) == 0:
            book.end[number] = FIRST + timedelta(days=draw(st.integers(number, 60)))
    return book.done()


def _graft(draw, book, bundles):
    of_mix = [stick for mix in book.mixes for stick in mix.sticks]
    wood = draw(st.sampled_from([*bundles, *book.of("S"), *of_mix]))
    book.add("G", wood, draw(st.sampled_from(book.of("P", "G"))))


def _mix(draw, book, bundles, spent):
    parts = draw(st.lists(st.sampled_from(bundles), min_size=2, max_size=3, unique=True))
    counts = tuple(draw(st.integers(1, 2)) for _ in parts)
    new = book.add("M")
    sticks = tuple(book.add("S") for _ in range(sum(counts)))
    loose = (book.add("G", NONE, draw(st.sampled_from(book.of("P")))),)
    known = draw(st.booleans())
    book.mixes.append(Mix(new, book.day[new], tuple(parts), counts if known else None, sticks, loose))
    spent.update(parts)
