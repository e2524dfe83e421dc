"""The money of the take-off: every cent accounted for once, and what it is held against."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest

from solver.case import Case, Rates
from solver.checker.judge import judge
from solver.errors import DisagreementError
from solver.layout import Layout, Odd
from solver.result import Cost, Judged
from solver.takeoff.lines import TakeOff, take_off
from solver.takeoff.seams import cut_seams
from tests.unit.builders import (
    USUAL_RATES,
    inches,
    look,
    make_case,
    make_curb,
    make_link,
    make_pipe,
    make_plane,
    make_rates,
)
from tests.unit.takeoff_cases import amounts, counted, priced


def five_pipes() -> Case:
    """With a first width of 14 in: A clear, B on a seam, D crossing, E tight, C1 cuts one seam."""
    return priced(make_case(
        make_pipe(inches(23), "A", y=inches(20), status="planned"),
        make_pipe(inches(32), "B", y=inches(60), status="stubbed"),
        make_pipe(inches("53 1/2"), "D", y=inches(20)),
        make_pipe(inches("72 3/4"), "E", y=inches(20), status="stubbed"),
        make_curb(inches(50)),
    ))


def test_rates_by_hand() -> None:
    # 100 an hour: 5 h + 150, 2 h + 35, 0.5 h, 1.5 h + 40
    found = amounts(take_off(five_pipes(), look(five_pipes())))
    assert found["Pipe on a seam, split pan"] == 650_00
    assert found["Boot across a seam"] == 235_00
    assert found["Pipe tight in its pan"] == 50_00
    assert found["Seam cut at a curb"] == 190_00


def test_moves_are_the_plumbers() -> None:
    case = make_case(make_pipe(inches(20), "A", status="planned"),
                     make_pipe(inches(38), "B", status="stubbed"))
    found = take_off(case, judge(case, Layout((inches(14),), (inches(3), inches(3)))))
    # 120 an hour: 0.5 h; 1.5 h + 45
    assert amounts(found)["Pipe moved, not yet set"] == 60_00
    assert amounts(found)["Pipe moved, roughed in"] == 225_00
    assert found.hours("plumber") == 2 and found.hours("crew") == 0
    assert found.sums.extra == 285_00


def test_prices_by_hand() -> None:
    # 173 sq ft, 50 clips, 100 fasteners, 8.3 ft of eave, 33.3 ft of rake at 100 an hour
    case = priced(make_case(), panel=("0.03", "3.50"), clip=("0.02", "0.60"),
                  fastener=("0", "0.15"), eave=("0.05", "4"), rake=("0.0125", "7.01"))
    found = amounts(take_off(case, look(case)))
    assert found["Panels, area of sheets"] == 1124_50  # 173 x 6.50
    assert found['Clips at 24"'] == 130_00  # 50 x 2.60
    assert found["Fasteners, 2 a clip"] == 15_00
    assert found["Eave, along the slope"] == 74_70  # 8.3 x 9
    assert found["Rake, along the slope"] == 275_06  # 33.3 x 8.26 = 275.058
    assert found["Ridge, along the slope"] == 913_00  # 8.3 x (100 + 10), the guess of these tests


def test_the_lines_come_to_the_sums() -> None:
    found = take_off(five_pipes(), look(five_pipes()), look(five_pipes(), first=inches(9)), 700_00)
    for part in ("rest", "extra"):
        own = [line for line in found.lines if line.item.part == part]
        assert sum(line.amount for line in own) == getattr(found.sums, part)
        assert sum(line.usual_amount or 0 for line in own) == getattr(found.usual_sums, part)
    assert found.sums.total == found.sums.rest + found.sums.extra == sum(amounts(found).values())
    for line in found.lines:
        assert line.usual is not None and line.difference == line.this - line.usual
        if line.price is not None:
            by_hand = line.this * (line.price.hours * line.price.hour + line.price.material)
            assert abs(by_hand * 100 - line.amount) <= Decimal("0.5")


def test_savings_are_differences_of_cost() -> None:
    case = five_pipes()
    this, usual = look(case, first=inches(9)), look(case)
    found = take_off(case, this, usual, 700_00)
    assert found.saves_on_usual is not None
    assert found.saves_on_usual.extra == usual.cost.total - this.cost.total != 0
    assert found.saves_on_blind == 700_00 - this.cost.total
    alone = take_off(case, this)
    assert alone.saves_on_usual is alone.saves_on_blind is alone.usual_sums is None
    assert {line.difference for line in alone.lines} == {None}


def test_a_cost_that_the_lines_do_not_come_to_is_told() -> None:
    judged = look(five_pipes())
    wrong = replace(judged, cost=Cost(judged.cost.flashing + 1, 0, 0, 0))
    with pytest.raises(DisagreementError, match="112501 cents"):
        take_off(five_pipes(), wrong)
    with pytest.raises(DisagreementError, match="usual"):
        take_off(five_pipes(), judged, wrong)


def random_layout(dice: Random) -> tuple[Case, Judged]:
    """Two linked planes, pipes and curbs anywhere, moves, odd panels, odd cents."""
    rates = make_rates(
        crew_hour=str(dice.randint(50, 150)), plumber_hour="117.35",
        **{name: (f"{dice.randint(0, 600) / 100:.2f}", f"{dice.randint(0, 99999) / 1000:.3f}")
           for name in USUAL_RATES.each if name != "area"},
    )
    planes = tuple(make_plane(name, width=inches(dice.randint(80, 200))) for name in "SN")
    pens = [
        make_pipe(inches(dice.randint(15, 65)), f"P{n}", plane="SN"[n % 2],
                  y=inches(dice.randint(5, 190)),
                  status=("planned", "stubbed")[dice.randint(0, 1)])  # type: ignore[arg-type]
        for n in range(6)
    ] + [
        replace(make_curb(inches(dice.randint(15, 65)), f"C{n}", plane="SN"[n % 2],
                          across=inches(dice.choice((18, 36, dice.randint(4, 50)))),
                          along=inches(dice.randint(5, 60))),
                detail=("flange", "ribbed", "close")[n])
        for n in range(3)
    ]
    case = priced(make_case(*pens, planes=planes, links=(make_link(),), rates=rates, odd_panels=1,
                            work_gap=inches(2), min_end=inches(2)))
    case = replace(case, rules=replace(case.rules, land_tol=inches(dice.randint(0, 2)),
                                       split_below=inches(16)))
    moves = [inches(dice.randint(-6, 6)) if pen.kind == "pipe" else 0 for pen in pens]
    odds = (Odd(0, 2, inches(dice.randint(9, 17))),) if dice.random() < 0.5 else ()
    firsts = tuple(inches(dice.randint(2, 18)) for _ in planes)
    return case, judge(case, Layout(firsts, tuple(moves), odds))


def by_rate(case: Case, judged: Judged) -> int:
    """What the extra comes to, counted one by one from how things stand."""
    cents = case.rates.cents
    total = 0
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        total += {"tight": cents("tight"), "crosses": cents("crosses"),
                  "on-seam": cents("on_seam"), "crowded": cents("crowded")}.get(stands.state, 0)
        total += stands.seams_cut * cents("seam_cut")
        total += cents(f"move_{pen.status}") if stands.moved else 0
        total += (stands.landed or ()).count(False) * cents("unlanded")
    for plane in judged.planes:
        total += len(plane.odd) * cents("odd_panel")
        total += max(abs(plane.first - plane.last) - inches(2), 0) // inches(1) * cents("uneven")
    return total + sum(not link.meet for link in judged.links) * cents("misaligned")


@pytest.mark.parametrize("seed", range(150))
def test_the_extra_is_the_cost_of_any_layout(seed: int) -> None:
    case, judged = random_layout(Random(seed))
    found = take_off(case, judged, judged)
    assert found.sums.extra == judged.cost.total == by_rate(case, judged)
    assert found.saves_on_usual is not None and found.saves_on_usual.total == 0
    cuts = sum(pen.seams_cut for pen in judged.penetrations)
    assert counted(found).get("Seam cut at a curb", 0) == cuts
    seams = {plane.id: plane.seams for plane in judged.planes}
    for pen, stands in zip(case.penetrations, judged.penetrations, strict=True):
        if pen.kind == "curb":
            assert len(cut_seams(case, pen, stands, seams[pen.plane])) == stands.seams_cut


def says(found: TakeOff, words: str) -> bool:
    return any(words in note for note in found.notes)


def test_a_splice_is_priced_once() -> None:
    case = five_pipes()
    found = take_off(case, look(case))
    (splice,) = [line for line in found.lines if line.item.name == "splice"]
    assert splice.price is None and splice.note == 'in "Pipe on a seam"' and splice.this == 1
    assert says(found, "the rate of a pipe on a seam holds them")
    own = priced(case, splice=("2", "40"))
    found = take_off(own, look(own))
    (splice,) = [line for line in found.lines if line.item.name == "splice"]
    assert splice.amount == 240_00 and splice.price is not None and splice.price.whose == "case"
    assert says(found, "see that the two do not hold the same work")


def test_the_metal_of_an_odd_panel_is_priced_once() -> None:
    # 14, 18, 10, 18, 18, 18, 4 in: 29 sq ft for the one of 10 in, its metal in the rate's 60
    case = priced(make_case(odd_panels=1), panel=("0.03", "3.50"))
    layout = Layout((inches(14),), (), (Odd(0, 3, inches(10)),))
    found = amounts(take_off(case, judge(case, layout)))
    assert found["Panels, area of sheets"] == 1124_50  # 173 x 6.50
    assert found["Sheets of odd panels"] == 87_00  # 29 x 3.00
    assert found["Odd panel"] == 210_00  # 1.5 h and 60


def with_area(case: Case, hours: str, material: str) -> Case:
    each = make_rates(area=(hours, material)).each["area"]
    return replace(case, rates=replace(case.rates, each=case.rates.each | {"area": each}))


@pytest.mark.parametrize(
    ("hours", "material", "each"), [("0", "3", "100"), ("0.1", "3", "0"), ("0.1", "0", "10")]
)
def test_metal_in_the_cost_is_not_charged_again(hours: str, material: str, each: str) -> None:
    # the guess of these tests is 1 h (100) and 10 a square foot
    case = with_area(priced(make_case()), hours, material)
    found = take_off(case, look(case))
    (panel,) = [line for line in found.lines if line.item.name == "panel"]
    assert panel.price is not None and panel.price.each == Decimal(each)
    (area,) = [line for line in found.lines if line.item.name == "area"]
    assert area.this == panel.this == 173 and area.amount == look(case).cost.stock > 0
    assert says(found, 'The rate "area" charges the')
    given = priced(case, panel=("1", "10"))  # the case's own price does not charge it again either
    (panel,) = [line for line in take_off(given, look(given)).lines if line.item.name == "panel"]
    assert panel.price is not None and panel.price.each == Decimal(each)


def test_whose_rate() -> None:
    case = priced(five_pipes(), clip=("0.02", "0.60"), fastener=("0", "0.15"))
    guessed = replace(case, rates=Rates(
        case.rates.crew_hour, case.rates.plumber_hour,
        case.rates.each | {"crosses": replace(case.rates.each["crosses"], given=False)},
        ("crew_hour", "crosses"),
    ))
    for of, clip, on_seam in ((case, "case", "case"), (guessed, "guess", "guess")):
        found = take_off(of, look(of))
        whose = {line.item.name: line.price.whose for line in found.lines if line.price}
        # a line without hours does not depend on what an hour costs
        assert (whose["clip"], whose["fastener"], whose["rake"]) == (clip, "case", "guess")
        assert whose["on_seam"] == on_seam
        assert whose["crosses"] == ("guess" if of is guessed else "case")
    assert says(take_off(guessed, look(guessed)), "crew_hour")


def test_prices_to_add_and_deduct() -> None:
    case = five_pipes()
    found = take_off(case, judge(case, Layout((inches(14),), (inches(1), 0, 0, 0, 0))))
    each = {one.name: (one.cents, one.now) for one in found.adjusts}
    assert each["on_seam"] == (650_00, 1) and each["seam_cut"] == (190_00, 1)
    assert each["move_planned"] == (60_00, 1) and each["move_stubbed"] == (225_00, 0)
    assert not {"misaligned", "odd_panel", "play", "area", "unlanded", "off_centre"} & set(each)
    told = {one.pen.id: (one.on_seam, one.cleared, one.cleared_by_move, one.unmoved)
            for one in found.pens}
    assert told == {
        "A": (650_00, None, None, -60_00),
        "B": (None, -650_00, 225_00 - 650_00, None),  # can be moved to the clear
        "D": (650_00 - 235_00, -235_00, None, None),  # through the roof
        "E": (600_00, -50_00, 225_00 - 50_00, None),
        "C1": (None, -190_00, None, None),
    }


def test_adding_a_price_is_what_the_checker_charges() -> None:
    """Each price of a penetration against the same case judged with that penetration elsewhere."""
    case = five_pipes()
    before = look(case)
    for one in take_off(case, before).pens:
        for x, price in ((inches(14), one.on_seam), (inches(23), one.cleared)):
            if price is None or one.pen.kind == "curb":
                continue
            pens = tuple(replace(pen, x=x, y=inches(150)) if pen.id == one.pen.id else pen
                         for pen in case.penetrations)
            after = look(replace(case, penetrations=pens))
            assert after.cost.total - before.cost.total == price, one.pen.id


def test_clarifications() -> None:
    case = five_pipes()
    found = take_off(case, judge(case, Layout((inches(14),), (inches(1), inches(9), 0, 0, 0))))
    text = "\n".join(found.notes)
    assert "Assumes A (not yet set) moved by the plumber before the deck goes on" in text
    assert "Assumes B (roughed in) moved by the plumber" in text
    assert "Assumes D accepted with a boot across a seam." in text
    assert "Assumes E accepted tight in the pan." in text
    assert "verify every one" in text and "The prices do not hold taxes" in text
    assert "There is no usual layout" in text
    assert "guesses until the case gives them in [prices]: panel, clip" in text
    assert "[rates]" not in text and "not proven" not in text
    still = take_off(case, look(case), look(case), proven=False)
    assert still.notes[0] == "Assumes no pipe moved."
    assert any("not proven to be the best" in note for note in still.notes)
