"""What the headings of growers' tables mean: the words people use, and the unit some of them name.

The words are common practice: those found on lists of grafts, wood, stocks and trees.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from graftbook.trade.words import plain

FIELDS: Mapping[str, str] = MappingProxyType({
    "cultivar": "the cultivar", "species": "the kind of plant", "rootstock": "the rootstock", "from": "who the wood came from",
    "date": "the day", "cut": "the day the wood was cut", "looked": "the day of the result", "method": "the method",
    "count": "how many", "result": "what became of it", "took": "how many took", "failed": "how many failed",
    "diameter": "a diameter", "scion": "the scion's diameter", "stock": "the stock's diameter", "shoot": "the shoot",
    "length": "the length of a stick", "sticks": "sticks", "buds": "buds", "tie": "the tie", "seal": "the seal",
    "who": "who did it", "site": "the site", "place": "the place", "row": "the row", "order": "the place in the row",
    "limb": "the limb", "height": "the height", "store": "the store", "stored": "the day it was stored",
    "temperature": "the temperature of the store", "kind": "tree or stock", "died": "the day it died", "stage": "the stage",
    "plant": "the code of a plant", "wood": "the code of a bundle", "graft": "the code of a graft", "cause": "the cause of loss",
    "note": "a note", "number": "the sheet's own number",
})  # fmt: skip
"""Everything a column may be read as, and what that is in words."""

_WORDS = """
cultivar: cultivar, variety, varieties, var, cv, scion variety, scion cultivar, apple variety, name, variety name, sort,
    kind of apple, scion name, scion wood variety, tree name, scionwood, grafted with, worked with, scion
species: species, fruit, crop, genus, type of fruit, type of tree, fruit type, taxon, kind of fruit, kind of tree
rootstock: rootstock, root stock, stock, rootstock type, stock type, understock, clone, rs, r stock, grafted onto, onto, root,
    rootstock name, stock name, worked on
from: from, donor, source, source of wood, scion source, wood from, supplier, received from, origin, where from, given by,
    came from, got from, bought from, nursery, scion from
date: date, day, grafted, date grafted, graft date, grafting date, grafted on, when, when grafted, made, made on, date made,
    done on, budded, date budded, budded on, planted, date planted, planting date, planted on, acquired, date acquired, bought,
    date received, received, received on, date of grafting, worked on date, date of planting, arrived
cut: cut, cut on, date cut, wood cut, cut date, collected, date collected, collected on, scion cut, scions cut, cutting date,
    harvested, date of cutting
looked: looked, checked, checked on, date checked, date of result, looked at, looked on, inspected, date inspected, result date,
    assessed, date assessed, checked date, last checked
method: method, graft, graft type, type of graft, grafting method, graft method, technique, style, how, cut type, joint
count: count, number, no, qty, quantity, how many, number of grafts, no of grafts, grafts, grafted number, number grafted,
    no grafted, made number, pcs, amount, num, nr, number made, no made, trees, number of trees, no of trees, plants, total made
result: result, results, outcome, status, state, took, take, take y n, taken, success, successful, alive, survived, live,
    did it take, growing, success y n, took y n, alive y n, grew, condition, ok, seen, dead or alive, live dead
took: number took, no took, takes, number taken, no taken, number alive, no alive, survivors, number growing, takes number,
    number live, no live, number survived
failed: failed, number failed, no failed, dead, number dead, no dead, losses, failures, lost, fails
diameter: diameter, dia, diam, thickness, size, caliper, calliper, calibre, caliber, gauge, girth, cal
scion: scion diameter, scion size, scion dia, scion thickness, scion caliper, scion calliper, wood diameter, scion mm, scion diam,
    scion cal
stock: stock diameter, rootstock diameter, stock size, rootstock size, stock dia, rootstock dia, stock caliper, rootstock caliper,
    stock calliper, rootstock calliper, rootstock thickness, stock thickness, stock mm, rootstock diam, stock diam, stock cal
shoot: shoot, growth, shoot length, new growth, shoot growth, extension, length of shoot
length: length, stick length, scion length, length of sticks
sticks: sticks, scions, number of scions, no of scions, number of sticks, no of sticks, pieces, lengths, scion count, qty sticks,
    sticks in bundle
buds: buds, number of buds, no of buds, bud count, buds per scion, buds per stick, buds left, buds a stick
tie: tie, tied with, tape, wrap, binding, tying, wrapped with, bound with
seal: seal, sealed with, wax, sealant, paint, sealer, waxed with
who: who, grafter, grafted by, by, by whom, person, initials, done by, made by, worked by, budded by, operator
site: site, orchard, garden, farm, property
place: place, location, where, bed, block, position, plot, spot, area, field, placed, house, bay, location now
row: row, line, tree row, row no, row number
order: order, place in row, tree no in row, position in row, tree in row, no in row, number in row
limb: limb, branch, limb no
height: height, height of graft, graft height, height along stem
store: store, stored in, storage, stored, kept in, fridge, kept, stored where
stored: stored on, date stored, in store since, put in store, stored since
temperature: temperature, temp, store temperature, store temp, fridge temperature
kind: kind, tree or stock, plant kind
died: died, died on, date died, dead on, lost on, date of death
stage: stage, growth stage, bud stage, stage of stock
plant: plant, plant code, tree code, stock code, host, host code, on tree, tree tag, stock tag
wood: wood code, bundle, bundle code, wood tag, bundle tag
graft: graft code, graft tag, graft no, tag, tag no, code, label, graft number
cause: cause, cause of loss, reason, why failed, reason for loss, cause of death, reason failed
note: note, notes, comment, comments, remark, remarks, observations, other, misc, info, observation, details, further notes
number: id, ref, index, item, line no, serial, row id, entry, s no, sr no, sl no, ref no
"""

_UNITS = MappingProxyType({
    "mm": "mm", "millimetres": "mm", "millimeters": "mm", "cm": "cm", "centimetres": "cm", "centimeters": "cm",
    "in": "in", "inch": "in", "inches": "in", "ins": "in",
})  # fmt: skip
LENGTHS = ("diameter", "scion", "stock", "shoot", "length", "height")
"""The fields that hold lengths."""
_DEGREES = re.compile(r"°\s*([CF])\b|\(\s*([CF])\s*\)", re.I)


@dataclass(frozen=True)
class Heading:
    """A heading understood: the field it means, the unit it names ('' for none), and how surely: 3 as people write it, 2 with
    words beside it, 1 misspelled."""

    field: str
    unit: str = ""
    sure: int = 3


@lru_cache(maxsize=1)
def _phrases() -> Mapping[str, str]:
    found: dict[str, str] = {}
    for entry in re.split(r"\n(?=\w+: )", _WORDS.strip()):
        field, _, words = entry.partition(": ")
        for phrase in words.split(","):
            found.setdefault(" ".join(phrase.split()), field)
    return found


def _words(text: str) -> list[str]:
    spread = re.sub(r"[#№]|\bn[o°º]\.?(?=\s|$)", " no ", text.casefold())
    return ["number" if word == "nr" else word for word in plain(spread).split()]


@lru_cache(maxsize=4096)
def understood(text: str) -> Heading | None:
    """What a heading means; None for one that says nothing known."""
    words = _words(text)
    unit = next((_UNITS[word] for word in words if word in _UNITS), "")
    if text.rstrip().endswith(('"', "″", "”")) and words:
        unit = unit or "in"
    degrees = _DEGREES.search(text)
    if degrees:
        unit = (degrees[1] or degrees[2]).upper()
        words = [word for word in words if word not in ("c", "f")]
    bare = [word for word in words if word not in _UNITS] if len(words) > 1 else words
    for wanted, sure in ((words, 3), (bare, 3), *(((part, 2)) for part in _parts(bare))):
        field = _phrases().get(" ".join(wanted)) if wanted else None
        if field is not None:
            return Heading(field, unit if field in (*LENGTHS, "temperature") else "", sure)
    return _misspelled(" ".join(bare))


def _parts(words: list[str]) -> list[list[str]]:
    """Every run of the words that leaves some out, the longest first, of two words at least or one that stands last or first."""
    count = len(words)
    runs = [words[start : start + size] for size in range(count - 1, 1, -1) for start in range(count - size + 1)]
    return runs + ([[words[-1]], [words[0]]] if 1 < count <= 5 else [])


def _misspelled(name: str) -> Heading | None:
    if len(name) < 5:
        return None
    from rapidfuzz import fuzz, process

    hit = process.extractOne(name, [each for each in _phrases() if len(each) > 3], scorer=fuzz.ratio, score_cutoff=85)
    return None if hit is None else Heading(_phrases()[hit[0]], "", 1)
