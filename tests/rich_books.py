"""Rich small books: a few years of an orchard as commands, and beside them what is true of it, by rules written in words.

The model knows nothing of the program. Its rules:

- A plant is alive on a day when it came by then and did not die by then. One that went home is not here.
- A graft is alive on a day when it was made by then, its last look by then is no end (dead, not set) and not `not-found`, neither
  it nor the plant at its foot went home unseen since, that plant is alive, and so is every graft between.
- Sticks left are what came in less what was grafted, given, thrown away or mixed; a count sets them.
- Sticks older than such wood keeps are no safety. What was received is at least as old as it is long here; mixed wood is as old
  as the oldest of it whose cutting is known.
- What is cut from a thing is what that thing is; a graft is what its wood is. A word said anywhere along the way speaks for all
  of it: one verified by fruit before one believed, and of two on one thing the newer. Mixed wood is what all its parts are,
  or in doubt between them. A synonym stands for the name preferred.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

TODAY = date(2027, 11, 30)
NAMES = ("Stoneway Pearmain", "Quern Russet", "Tolm Beauty", "Kilwarden Pippin", "Harrow Codlin")
OTHER_NAME, PREFERRED = "Quern Leathercoat", "Quern Russet"
KEEPS_DAYS = 180
"""How long dormant wood of apple is known to keep in a cold store (common practice): older sticks are counted on by nobody."""
ENDS = frozenset({"dead", "not-set"})
PLACES = ("Long Row", "Barn", "Kiln Yard")
LIVING_STATES = ("growing", "growing", "growing", "pushing", "swelling", "stalled", "no-movement", "shrivelled")


@dataclass
class PlantFacts:
    """A plant: what it is, where, and when it came, died and went home (None: did not)."""

    kind: str
    came: date
    place: str
    died: date | None = None
    home: date | None = None


@dataclass
class WoodFacts:
    """A bundle: what it was cut from (None: received), what was mixed into it, and its sticks as days and numbers."""

    source: str | None
    parts: tuple[str, ...] = ()
    moves: list[tuple[date, int]] = field(default_factory=list)

    @property
    def left(self) -> int:
        """Sticks left now."""
        return sum(sticks for _, sticks in self.moves)


@dataclass
class GraftFacts:
    """A graft: its wood, its host, when it was made and on which limb, what was seen of it, when it went home."""

    wood: str
    host: str
    made: date
    limb: str | None
    bud: bool
    looks: list[tuple[date, str]] = field(default_factory=list)
    home: date | None = None


class RichBook:
    """One book: `commands` to be typed in order, and the facts that hold once they were."""

    def __init__(self, random: Random, most: int = 38) -> None:
        self.random = random
        self.day = date(2025, 1, 8)
        self.commands: list[tuple[str, ...]] = []
        self.plants: dict[str, PlantFacts] = {}
        self.wood: dict[str, WoodFacts] = {}
        self.grafts: dict[str, GraftFacts] = {}
        self.words: list[tuple[str, tuple[str, ...], bool]] = []
        self.synonym = False
        self._begin()
        steps = (self._cut, *[self._graft] * 7, *[self._look] * 4, self._receive,
                 self._give, self._discard, self._count, self._die, self._go, self._limb, self._home, self._move, self._mix,
                 self._doubt, self._verify, self._same_name)  # fmt: skip
        for _ in range(most):
            self.random.choice(steps)()
            self._pass(1, 32)
        self._last_round()

    # What is true of it.

    def alive(self, code: str, day: date = TODAY) -> bool:
        """Whether a plant or a graft is alive here on a day."""
        if code in self.plants:
            plant = self.plants[code]
            gone = any(end is not None and end <= day for end in (plant.died, plant.home))
            return plant.came <= day and not gone
        graft = self.grafts[code]
        last = self.last_look(code, day)
        if graft.made > day or (last is not None and last[1] in ENDS | {"not-found"}) or self.away(code, day):
            return False
        foot = self.plants[self.foot(code)]
        if foot.died is not None and foot.died <= day:
            return False
        return graft.host in self.plants or self.alive(graft.host, day)

    def dead(self, code: str) -> bool:
        """Whether a graft is known to be dead: seen so, or what it stands on is."""
        graft, look = self.grafts[code], self.last_look(code)
        if (look is not None and look[1] in ENDS) or self.plants[self.foot(code)].died is not None:
            return True
        return graft.host in self.grafts and self.dead(graft.host)

    def away(self, code: str, day: date = TODAY) -> bool:
        """Whether a graft, or the plant at its foot, went home and the graft was not seen since."""
        last = self.last_look(code, day)
        homes = (self.grafts[code].home, self.plants[self.foot(code)].home)
        return any(home is not None and home <= day and (last is None or last[0] <= home) for home in homes)

    def last_look(self, code: str, day: date = TODAY) -> tuple[date, str] | None:
        """The last look at a graft by a day; None where nobody looked."""
        seen = [look for look in self.grafts[code].looks if look[0] <= day]
        return seen[-1] if seen else None

    def foot(self, code: str) -> str:
        """The plant at the foot of a graft."""
        host = self.grafts[code].host
        return host if host in self.plants else self.foot(host)

    def living_grafts(self) -> set[str]:
        """Every graft alive now."""
        return {code for code in self.grafts if self.alive(code)}

    def standing_on(self, plant: str, limb: str | None = None) -> set[str]:
        """Every graft with a plant at its foot; on a limb of it, where one is named."""
        return {
            code for code in self.grafts if self.foot(code) == plant and (limb is None or self.limb_of(code) == limb)
        }

    def limb_of(self, code: str) -> str | None:
        """The limb that a graft, or the lowest one under it, was made on."""
        graft = self.grafts[code]
        return graft.limb if graft.host in self.plants else self.limb_of(graft.host)

    def names(self, code: str) -> frozenset[str]:
        """What a thing may be: one name where that is certain, several in doubt, none where it is unknown."""
        root = self.root(code)
        if root in self.wood and self.wood[root].parts:
            parts = [self.names(part) for part in self.wood[root].parts]
            return frozenset().union(*parts) if all(parts) else frozenset()
        said = [(names, firm) for subject, names, firm in self.words if self.root(subject) == root]
        firm = [names for names, firmly in said if firmly]
        newest = firm[-1] if firm else said[-1][0] if said else ()
        return frozenset(PREFERRED if self.synonym and name == OTHER_NAME else name for name in newest)

    def cut(self, code: str) -> date | None:
        """When wood was cut, of mixed wood the oldest of it that is known; None where nobody knows."""
        wood = self.wood[code]
        known = [day for part in wood.parts if (day := self.cut(part)) is not None]
        return min(known, default=None) if wood.parts else wood.moves[0][0] if wood.source is not None else None

    def came(self, code: str) -> date | None:
        """When wood came from elsewhere; of mixed wood only where all of it came on one day."""
        wood = self.wood[code]
        days = {self.came(part) for part in wood.parts}
        return (
            (days.pop() if len(days) == 1 else None)
            if wood.parts
            else wood.moves[0][0]
            if wood.source is None
            else None
        )

    def keeps(self, code: str) -> bool:
        """Whether the sticks of a bundle may still be counted on."""
        since = self.cut(code) or self.came(code)
        return since is None or (TODAY - since).days <= KEEPS_DAYS

    def certain(self, code: str) -> str | None:
        """What a thing is, where that is certain."""
        names = self.names(code)
        return next(iter(names)) if len(names) == 1 else None

    def root(self, code: str) -> str:
        """Where a thing's clone began: a plant, wood that came from elsewhere, or wood that was mixed."""
        if code in self.grafts:
            return self.root(self.grafts[code].wood)
        source = self.wood[code].source if code in self.wood else None
        return self.root(source) if source is not None else code

    def called(self, name: str) -> set[str]:
        """Trees, bundles and grafts that are certainly of one name."""
        trees = {code for code, plant in self.plants.items() if plant.kind == "tree"}
        return {code for code in trees | set(self.wood) | set(self.grafts) if self.certain(code) == name}

    # How it came about.

    def _say(self, *words: object) -> None:
        self.commands.append(tuple(str(word) for word in words))

    def _on(self) -> tuple[str, str]:
        return "--on", self.day.isoformat()

    def _pass(self, least: int, most: int) -> None:
        self.day = min(self.day + timedelta(days=self.random.randint(least, most)), date(2027, 10, 20))

    def _pick(self, things):
        held = sorted(things)
        return self.random.choice(held) if held else None

    def _begin(self) -> None:
        for name in NAMES:
            self._say("want", "add", name, 3, "--species", "apple", *self._on())
        for _ in range(self.random.randint(2, 4)):
            name = self._pick({*NAMES[:3], OTHER_NAME, ""})
            code, place = f"P{len(self.plants) + 1}", self.random.choice(PLACES)
            self._say("tree", "add", *([name] if name else []), "--species", "apple", "--place", place, "--acquired", "2019-11-02",
                      *self._on())  # fmt: skip
            self.plants[code] = PlantFacts("tree", date(2019, 11, 2), place)
            if name:
                self.words.append((code, (name,), False))
        for _ in range(self.random.randint(4, 7)):
            code, place = f"P{len(self.plants) + 1}", self.random.choice(PLACES)
            self._say(
                "stock", "add", "MM.106", "--grade", "8-10mm", "--place", place, "--acquired", "2024-12-01", *self._on()
            )
            self.plants[code] = PlantFacts("stock", date(2024, 12, 1), place)
        for step in (self._cut, self._cut, self._graft, self._graft, self._graft, self._graft):
            step()
            self._pass(1, 20)

    def _new_wood(self, source: str | None, sticks: int, parts: tuple[str, ...] = ()) -> str:
        code = f"W{len(self.wood) + 1}"
        self.wood[code] = WoodFacts(source, parts, [(self.day, sticks)])
        return code

    def _here(self, kind: str) -> set[str]:
        return {code for code, plant in self.plants.items() if plant.kind == kind and self.alive(code, self.day)}

    def _up(self) -> set[str]:
        """Grafts alive on the day that it is."""
        return {code for code in self.grafts if self.alive(code, self.day)}

    def _cut(self) -> None:
        source = self._pick(self._here("tree") | {code for code in self._up() if self.last_look(code, self.day)})
        if source is not None:
            plant = source if source in self.plants else self.foot(source)
            sticks = self.random.randint(2, 6)
            self._say("prune", plant, "--from", source, "--save", f"{sticks} sticks 8-9mm 25cm", *self._on(), "--yes")
            self._new_wood(source, sticks)

    def _receive(self) -> None:
        name, sticks = self.random.choice(NAMES), self.random.randint(1, 4)
        self._say("wood", "receive", name, "--from", "Ilo M.", "--sticks", sticks, "--species", "apple", "--diameter", "8-9mm",
                  *self._on())  # fmt: skip
        self.words.append((self._new_wood(None, sticks), (name,), False))

    def _full(self) -> set[str]:
        return {code for code, wood in self.wood.items() if wood.left > 0}

    def _graft(self) -> None:
        wood = self._pick(self._full())
        hosts = [*sorted(self._here("stock")), *sorted(self._here("tree")), *sorted(self._up()) * 2]
        if wood is None or not hosts:
            return
        host, bud = self.random.choice(hosts), self.random.random() < 0.35
        limb = self.random.choice(["A", "B"]) if host in self._here("tree") else None
        self._say("graft", wood, host, "--method", "chip-bud" if bud else "cleft", *(["--limb", limb] if limb else []), *self._on(),
                  "--yes")  # fmt: skip
        self.wood[wood].moves.append((self.day, -1))
        self.grafts[f"G{len(self.grafts) + 1}"] = GraftFacts(wood, host, self.day, limb, bud)

    def _look(self) -> None:
        code = self._pick(self._up())
        if code is not None:
            kinds = [
                *LIVING_STATES,
                "dead",
                "not-found",
                *(["set", "not-set", "forced"] if self.grafts[code].bud else []),
            ]
            self._see(code, self.random.choice(kinds))

    def _see(self, code: str, state: str) -> None:
        self._say("look", code, state, *self._on())
        self.grafts[code].looks.append((self.day, state))

    def _out(self, *words: object, wood: str, sticks: int) -> None:
        self._say("wood", *words, *self._on())
        self.wood[wood].moves.append((self.day, -sticks))

    def _give(self) -> None:
        if (wood := self._pick(self._full())) is not None:
            self._out("give", wood, 1, "--to", "Orchard club", wood=wood, sticks=1)

    def _discard(self) -> None:
        if (wood := self._pick(self._full())) is not None:
            self._out("discard", wood, 1, wood=wood, sticks=1)

    def _count(self) -> None:
        if (wood := self._pick(self._full())) is not None:
            counted = self.random.randint(0, self.wood[wood].left + 1)
            self._out("count", wood, counted, wood=wood, sticks=self.wood[wood].left - counted)

    def _die(self) -> None:
        here = self._here("stock") | (self._here("tree") if len(self._here("tree")) > 1 else set())
        plant = self._pick(here) if len(here) > 3 else None
        if plant is not None:
            self._say("tree" if self.plants[plant].kind == "tree" else "stock", "died", plant, *self._on())
            self.plants[plant].died = self.day

    def _go(self) -> None:
        here = self._here("tree")
        plant = self._pick(here) if len(here) > 2 else None
        if plant is not None:
            self._all_end(self.standing_on(plant))
            self._say("tree", "gone", plant, *self._on(), "--yes")
            self.plants[plant].died = self.day

    def _limb(self) -> None:
        limbs = {(self.foot(code), self.limb_of(code)) for code in self._up() if self.limb_of(code) is not None}
        if (found := self._pick(limbs)) is not None:
            self._all_end(self.standing_on(*found))
            self._say("limb", "gone", *found, *self._on(), "--yes")

    def _all_end(self, codes: set[str]) -> None:
        """What was alive was seen to go; a graft that was not alive is left as it was."""
        for code in [code for code in codes if self.alive(code, self.day)]:
            self.grafts[code].looks.append((self.day, "dead"))

    def _home(self) -> None:
        thing = self._pick(self._up() | self._here("stock")) if self.random.random() < 0.5 else None
        if thing is not None:
            self._say("care", thing, "gone-home", *self._on())
            (self.plants[thing] if thing in self.plants else self.grafts[thing]).home = self.day

    def _move(self) -> None:
        if (plant := self._pick(self._here("stock"))) is not None:
            place = self.random.choice(PLACES)
            self._say("care", plant, "moved", "--place", place, *self._on())
            self.plants[plant].place = place

    def _mix(self) -> None:
        full = sorted(self._full())
        if len(full) > 1 and self.random.random() < 0.5:
            parts = tuple(self.random.sample(full, 2))
            sticks = sum(self.wood[part].left for part in parts)
            self._say("wood", "mixed", *parts, "--sticks", sticks, *self._on())
            for part in parts:
                self.wood[part].moves.append((self.day, -self.wood[part].left))
            self._new_wood(None, sticks, parts)

    def _doubt(self) -> None:
        """Say of a tree that it is one of two, or unknown but by a nickname."""
        firm = {self.root(subject) for subject, _, firmly in self.words if firmly}
        tree = self._pick(self._here("tree") - firm)
        if tree is not None and self.random.random() < 0.5:
            two = tuple(self.random.sample(NAMES, 2))
            self._say("name", tree, " or ".join(two), *self._on())
            self.words.append((tree, two, False))
        elif tree is not None:
            self._say("name", tree, "unknown", "--nickname", "old yard apple", *self._on())
            self.words.append((tree, (), False))

    def _verify(self) -> None:
        """Say for certain what a clone is, on any thing of it; once a clone."""
        firm = {self.root(subject) for subject, _, firmly in self.words if firmly}
        things = [*sorted(self._here("tree")), *sorted(self._up())]
        thing = self._pick(
            {code for code in things if self.root(code) not in firm and not self._mixed(self.root(code))}
        )
        if thing is not None:
            name = self.random.choice(NAMES)
            self._say("name", thing, name, "--sure", "verified by fruit", *self._on())
            self.words.append((thing, (name,), True))

    def _mixed(self, root: str) -> bool:
        return root in self.wood and bool(self.wood[root].parts)

    def _same_name(self) -> None:
        if not self.synonym and self.random.random() < 0.5:
            self._say("name", "synonym", OTHER_NAME, "--of", PREFERRED, *self._on())
            self.synonym = True

    def _last_round(self) -> None:
        """Two rounds in the last summer: most of what lives is seen, and much of it growing twice."""
        for day, share in ((date(2027, 10, 25), 0.7), (date(2027, 11, 10), 0.7)):
            self.day = day
            for code in sorted(self._up()):
                if self.random.random() < share:
                    self._see(code, self.random.choice(LIVING_STATES))
        self.day = date(2027, 11, 20)
        self._late_losses()

    def _late_losses(self) -> None:
        """After the last round a graft under another is seen dead, and a stock with a living graft dies or goes home."""
        between = {
            graft.host for code, graft in self.grafts.items() if graft.host in self._up() and self.alive(code, self.day)
        }
        if (code := self._pick(between)) is not None:
            self._see(code, "dead")
        for how in self.random.sample(("died", "home"), 1):
            carrying = {self.foot(code) for code in self._up()} & self._here("stock")
            stacked = {self.foot(code) for code in self._up() if self.grafts[code].host in self.grafts} & carrying
            stock = self._pick(stacked or carrying) if len(carrying) > 1 else None
            if stock is not None and how == "died":
                self._say("stock", "died", stock, *self._on())
                self.plants[stock].died = self.day
            elif stock is not None:
                self._say("care", stock, "gone-home", *self._on())
                self.plants[stock].home = self.day
