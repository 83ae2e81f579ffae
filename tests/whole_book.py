"""A whole book to compare: every row of the record as plain values, and a book with every field in use."""

from __future__ import annotations

from datetime import date

from sqlalchemy import select

from graftbook.actions.trade import own_tables
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.ledger import CautionNote, OwnRow
from graftbook.book.lineage import Naming, Person, Synonym, WoodRequest
from graftbook.book.merged import Former
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.sheets_kept import SheetLine, SheetRead
from graftbook.book.stages import StageNote
from graftbook.book.tables import METADATA, RECORD, Setting
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.unit import Book, row_values
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle, Inspection, Movement, Prune, Stay


def contents(location):
    """Every row of the record by uid, keys to other rows as their uids, ids left out."""
    book = Book(location)
    with book.read() as session:
        rows = {table: list(session.execute(select(table)).scalars()) for table in RECORD if table is not Setting}
        uids = {(table.__tablename__, row.id): row.uid for table, found in rows.items() for row in found}
        held = {row.uid: _by_uid(table, row, uids) for table, found in rows.items() for row in found}
    book.close()
    return held


def _by_uid(table, row, uids):
    values = row_values(row)
    del values["id"]
    for column in table.__table__.columns:
        for key in column.foreign_keys:
            values[column.name] = uids.get((key.column.table.name, values[column.name]))
    return values


def fill(location):
    """A book with every field of every table in use, awkward text in all of it."""
    text = 'Æblegård "øst", 3/8in; tab\there\nsecond line, 苹果 — ¼'
    on = date(2027, 3, 4)
    book = Book(location)
    with book.write("filling") as unit:
        tree = unit.add(Plant, number=3, code="P3", kind="tree", taxon="Malus domestica", taxon_typed="apple", cultivar=text[:20],
                        cultivar_typed="'Østpearmain'", diameter_mm=120.5, grade_min_mm=100.0, grade_max_mm=140.25,
                        measured_on=on, site=text[:20], place=text[:20], row="7", order=0, acquired_on=date(1999, 1, 2),
                        source=text[:20], container="5 l pot", stage="dormant", stage_on=on, bark="tight", lot="L, 1",
                        note=text)  # fmt: skip
        stock = unit.add(Plant, number=10, code="P10", kind="stock", clone="seedling", died_on=date(2027, 9, 1))
        unit.add(Plant, number=11, code="P11", kind="stock")
        prune = unit.add(
            Prune, plant_id=tree.id, on=on, thinning=0, heading=14, bench=2, removed_percent=0, who=text[:20], note=text
        )
        unit.add(Prune, plant_id=tree.id, on=on)
        wood = unit.add(
            Bundle,
            number=2,
            code="W2",
            taxon="Malus domestica",
            cultivar=text[:20],
            cultivar_typed="x",
            donor=text[:20],
            received_on=on,
            cut_on=on,
            stored_on=on,
            store="Cellar; left",
            packing="moss, film",
            temperature_c=-0.5,
            length_mm=300.0,
            diameter_min_mm=5.16,
            diameter_max_mm=9.53,
            buds_per_stick=6,
            wood_kind="dormant",
            note=text,
            cut_plant_id=tree.id,
            prune_id=prune.id,
        )
        bare = unit.add(Bundle, number=5, code="W5", wood_kind="summer")
        unit.add(Movement, bundle_id=wood.id, on=on, kind="saved", sticks=20, who=text[:20], note=text)
        unit.add(Movement, bundle_id=wood.id, on=on, kind="given", sticks=-3, receiver=text[:20], who="K", note=text)
        unit.add(Movement, bundle_id=wood.id, on=on, kind="counted", sticks=-1, counted=16)
        unit.add(Movement, bundle_id=wood.id, on=on, kind="saved", sticks=2)
        unit.add(Movement, bundle_id=bare.id, on=on, kind="found", sticks=4)
        unit.add(Inspection, bundle_id=wood.id, on=on, condition="swelling", who=text[:20], note=text)
        first = unit.add(Graft, number=7, code="G7", bundle_id=wood.id, stick=3, host_plant_id=stock.id, method="whip-and-tongue",
                         made_on=on, scion_mm=8.5, stock_mm=8.0, buds=3, tie="rubber, wide", seal=text[:20], tied_on=on, who="K",
                         place=text[:20], stage="bud swell", bench=True, limb="north; low", bearing_deg=0, height_mm=0.0,
                         position=text[:20], trial="T\"1\"", block="B,1", cautions="wide\nlate", sticks_drawn=1, buds_left=3,
                         note=text)  # fmt: skip
        later = unit.add(
            Bundle, number=1, code="W1", cut_graft_id=first.id, cut_on=date(2027, 8, 1), wood_kind="summer"
        )
        unit.add(Movement, bundle_id=later.id, on=date(2027, 8, 1), kind="saved", sticks=1)
        second = unit.add(Graft, number=2, code="G2", bundle_id=later.id, host_graft_id=first.id, method="chip-bud", unit="bud",
                          made_on=date(2027, 8, 2), bench=False, sticks_drawn=1)  # fmt: skip
        unit.add(Graft, number=1, code="G1", host_graft_id=second.id, method="cleft", made_on=date(2027, 9, 2))
        unit.add(
            StageNote, plant_id=tree.id, on=on, stage="green tip", bbch="07", bark="slipping", who=text[:20], note=text
        )
        unit.add(StageNote, plant_id=tree.id, on=date(2027, 4, 28), bark="tight")
        unit.add(StageNote, plant_id=stock.id, on=on, stage="dormant")
        unit.add(
            Stay,
            bundle_id=wood.id,
            on=on,
            store="Cellar; left",
            packing="moss, film",
            temperature_c=4.2,
            who="K",
            note=text,
        )
        unit.add(Stay, bundle_id=wood.id, on=date(2027, 3, 9), temperature_c=-0.5)
        unit.add(Look, graft_id=first.id, on=on, state="dead", shoot_mm=0.0, cause="frost; late", union_fault="unsure",
                 stock_fate="resprouted", who=text[:20], photo="a b.jpg", note=text)  # fmt: skip
        unit.add(Look, graft_id=first.id, on=on, state="growing")
        unit.add(Look, graft_id=first.id, on=on, state="growing", who="another")
        unit.add(Look, graft_id=second.id, on=date(2027, 9, 1), state="set")
        unit.add(Care, graft_id=first.id, on=on, what="tie-released", who="K", note=text)
        unit.add(Care, plant_id=stock.id, on=on, what="staked")
        unit.add(Care, graft_id=second.id, on=date(2027, 9, 1), what="moved", place=text[:20], place_before="tunnel, 2")
        unit.add(
            CautionNote, plant_id=tree.id, kind="health", status="visibly clean", on=on, source=text[:20], note=text
        )
        unit.add(CautionNote, bundle_id=wood.id, kind="rights", status="mine to use", on=on, until=date(2030, 1, 1))
        unit.add(OwnRow, trade_table="cautions", fields=_own_caution())
        unit.add(OwnRow, trade_table="media", fields=own_tables.parse("media", dict(name="pot-60x20", page_w_mm="60",
                 page_h_mm="20", label_w_mm="60", label_h_mm="20", life_years="2")))  # fmt: skip
        unit.add(OwnRow, trade_table="printers", fields=own_tables.parse("printers", dict(printer="øst", medium="pot-60x20",
                 shift_right_mm="0.6", scale_across="1.002", dpi="600")))  # fmt: skip
        unit.add(TagRun, number=4, on=on, medium="pot-60x20", purpose=text[:20], start_cell=3, copies=2, in_order="bench",
                 printer="øst", who=text[:20], note=text, codes=["P10", "P11", "G2", "G1", "W2"])  # fmt: skip
        unit.add(TagRun, number=5, on=on, medium="letter-30up", codes=["G41"])
        unit.add(Former, thing="graft", of_uid=first.uid, code="G77", was_uid=second.uid, on=on)
        unit.add(Former, thing="plant", of_uid=tree.uid, code="P77", on=on)
        unit.add(ReservedCode, code="G41", on=on, purpose=text[:20])
        unit.add(ReservedCode, code="G2", on=on)
        near = unit.add(WeatherStation, name=text[:20], known_as="XX000000001", latitude=-33.25, note=text)
        bare_station = unit.add(WeatherStation, name="bare")
        blank = " ".join(["."] * 365)
        unit.add(WeatherYear, station_id=near.id, year=2028, lows=" ".join(["-0.5"] * 366),
                 highs=" ".join(["12.25", "."] * 183))  # fmt: skip
        unit.add(WeatherYear, station_id=near.id, year=2027, lows=blank, highs=blank)
        unit.add(WeatherYear, station_id=bare_station.id, year=2027, lows=blank, highs=blank)
        unit.add(PlaceWeather, on=date(1900, 1, 1), station_id=near.id)
        unit.add(PlaceWeather, place=text[:20], on=on, low_c=8.0, high_c=21.5, note=text)
        loose = unit.add(Bundle, number=6, code="W6", taxon="Malus domestica")
        unit.add(Movement, bundle_id=loose.id, on=on, kind="saved", sticks=3, note=text)
        unit.add(
            Movement, bundle_id=wood.id, on=on, kind="mixed", sticks=-2, into_bundle_id=loose.id, who="K", note=text
        )
        unit.add(Movement, bundle_id=bare.id, on=on, kind="mixed", sticks=-1, into_bundle_id=loose.id)
        unit.add(Movement, bundle_id=loose.id, on=on, kind="given", sticks=-1, stick=2, receiver=text[:20])
        unit.add(Naming, plant_id=tree.id, on=on, candidates=f"{text[:20]} | B", typed=text, sure="doubtful", why=text, who="K",
                 note=text)  # fmt: skip
        unit.add(Naming, bundle_id=loose.id, stick=3, on=on, candidates="B", sure="verified by fruit")
        unit.add(Naming, graft_id=first.id, on=on, nickname=text[:20])
        unit.add(Synonym, on=on, name=text[:20], preferred="B", why=text[:20], who="K", note=text)
        unit.add(Person, name=text[:20], initials="Æ.Ø.", contact=text, note=text)
        unit.add(Person, name="K")
        unit.add(WoodRequest, number=3, on=on, receiver=text[:20], cultivar="B", typed=text[:20], sticks=4,
                 closed_on=date(2027, 4, 1), who="K", note=text)  # fmt: skip
        unit.add(WoodRequest, number=1, on=on, receiver="K", cultivar="B", sticks=1)
        want = unit.add(Want, number=2, on=on, cultivar=text[:20], cultivar_typed="'x'", taxon="Malus domestica", trees=3,
                        living=2, sites=2, priority=1, for_whom=text[:20], clone="MM.106", clone_typed="mm106", who="K",
                        note=text)  # fmt: skip
        unit.add(Want, number=3, on=on, cultivar="Østpearmain", trees=1, done_on=on)
        unit.add(Want, number=5, on=on, cultivar="Østpearmain", trees=1, withdrawn_on=on)
        plan = unit.add(Plan, number=4, on=on, day=date(2028, 3, 1), outcome="gap", message=text, seed=0,
                        compare="method=a,b", first_graft=51, done_on=on, who=text[:20], note=text,
                        settings={"hold_back": "1", "é": text})  # fmt: skip
        unit.add(PlanRow, plan_id=plan.id, line=1, want_id=want.id, bundle_id=wood.id, host_plant_id=stock.id, stick=3, piece=2,
                 buds=2, from_mm=0.0, to_mm=88.25, scion_mm=7.13, spot=2, position=text[:20], method="whip-and-tongue",
                 chance=0.8512345678901234, basis="own", basis_words=text[:20], k=11, n=13, joint_share=1.0, trial="T,1",
                 block="b\"1", treatment="cleft", cautions=text)  # fmt: skip
        unit.add(PlanRow, plan_id=plan.id, line=2, bundle_id=bare.id, host_plant_id=stock.id, stick=1, piece=1, buds=1,
                 method="chip-bud", chance=0.5, basis="working value")  # fmt: skip
        unit.add(Plan, number=6, on=on, day=on, settings={})
        for letter, number in (("P", 11), ("W", 9), ("G", 44)):
            unit.number_used(letter, number)
        sheet = unit.add(
            SheetRead,
            number=1,
            on=on,
            file="club log.xlsx",
            sheet="Vår",
            reading={"thing": "trees", "columns:Sort": "cultivar"},
        )
        unit.add(SheetLine, number=1, sheet_read_id=sheet.id, line=4, fate="taken", made="P3, G1", cells={"Sort": text})
        unit.add(SheetLine, number=2, sheet_read_id=sheet.id, line=9, fate="held", why=text, was=1, cells={"Sort": text},
                 mends={"Cal": "3/8in"}, offers={"Cal": "3/8in"})  # fmt: skip
        unit.commit("Filled")
    book.close()


def _own_caution():
    from graftbook.trade import own, tables

    shipped = dict(tables.rows("cautions")[0])
    key = next(name for name in shipped)
    return dict(own.parse("cautions", {**shipped, key: "own-knife", "words": 'Mind the "knife", Åse'}))


def everything(location):
    """Every row of every table, ids, entries, changes and counters among them."""
    book = Book(location)
    with book.read() as session:
        held = {
            table.name: [tuple(row) for row in session.connection().execute(select(table).order_by(*table.primary_key))]
            for table in METADATA.sorted_tables
        }
    book.close()
    return held
