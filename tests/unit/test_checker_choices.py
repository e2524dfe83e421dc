"""Layouts someone else chose, with odd panels, changes of module and planes laid both ways.

Numbers worked by hand: 100 in under 18 in panels; the usual first width is 14 in, both ends equal.
"""

from __future__ import annotations

import pytest

from solver.case import Case, Penetration, Plane
from solver.checking import Checked, check
from solver.errors import ChoiceError
from solver.layout import Change, Layout, Odd
from tests.unit.builders import inches, make_case, make_pipe, make_plane

WIDE, FINE = inches(12), inches("1/64")


def the_case(*pens: Penetration, planes: tuple[Plane, ...] | None = None, **kw: object) -> Case:
    given: dict[str, object] = {"odd_panels": 1, "play": inches("1/8"), "remeasure": 2}
    return make_case(*pens, planes=planes, **(given | kw))  # type: ignore[arg-type]


def reasons(checked: Checked) -> list[str]:
    return [reason.code for reason in checked.reasons]


def test_odd_panels_and_changes_by_plane() -> None:
    case = the_case(planes=(make_plane(), make_plane("N")))
    checked = check(case, {"N": inches(16)}, {}, {"N": {3: WIDE}}, {"S": {2: -FINE, 1: FINE}})
    assert checked.legal and checked.judged is not None
    assert checked.judged.layout == Layout(
        (inches(14), inches(16)), (), (Odd(1, 3, WIDE),), (Change(0, 1, FINE), Change(0, 2, -FINE))
    )
    # An odd panel 210, two stretches altered 25 each.
    assert checked.judged.cost.total == 21000 + 5000
    assert checked.usual is not None and checked.usual.cost.total == 0


def test_a_change_of_nothing_is_no_change() -> None:
    checked = check(the_case(), {}, {}, {}, {"S": {1: 0}})
    assert checked.judged is not None and checked.judged.layout.changes == ()


def test_what_breaks_a_rule_is_priced_with_its_reason() -> None:
    checked = check(the_case(), {"S": inches(16)}, {}, {"S": {3: WIDE + 1}}, {"S": {1: FINE + 1}})
    assert reasons(checked) == ["odd-width", "play-mark"]
    assert checked.judged is not None and not checked.legal
    assert checked.judged.cost.total > 0
    assert checked.windows is None


def test_what_cannot_be_priced_is_told_with_everything_else() -> None:
    pipe = make_pipe(inches(36), status="planned")  # crosses; moved beyond its reach
    checked = check(
        the_case(pipe, planes=(make_plane(), make_plane("N"))), {"N": inches(120)},
        {"V1": inches(13)}, {"S": {9: WIDE}, "N": {3: 0}}, {"S": {7: FINE}},
    )  # fmt: skip
    assert checked.judged is None
    told = [reason.says for reason in checked.reasons]
    assert told[:4] == [
        'A first width of 120" puts no seam on plane N: it lies between 6" and 18".',
        'A width of 0" leaves nothing of panel 3 of plane N: an odd panel is 9" to 17 15/16" wide.',
        "There is no panel 9 on plane S as it is laid: its panels are 1 to 6.",
        "There is no stretch 7 on plane S as it is laid: its stretches are 1 to 3.",
    ]
    assert reasons(checked)[:4] == ["not-priced"] * 4
    assert "beyond-reach" in reasons(checked)


@pytest.mark.parametrize("where", [{"odds": {"X": {2: WIDE}}}, {"changes": {"X": {1: FINE}}}])
def test_unknown_planes_are_refused(where: dict[str, dict[str, dict[int, int]]]) -> None:
    with pytest.raises(ChoiceError, match='there is no plane "X"; it has S'):
        check(the_case(), {}, {}, **where)


def test_a_plane_laid_both_ways_has_no_first_width_to_choose() -> None:
    case = the_case(planes=(make_plane(start=inches(46)), make_plane("N")))
    with pytest.raises(ChoiceError) as refused:
        check(case, {"S": inches(10)}, {})
    assert str(refused.value) == (
        "roof.toml: plane S is laid both ways from a line at 3' 10\", so the widths at its ends "
        'are results: leave out its first width of 10"'
    )
    checked = check(case, {}, {}, {"S": {-1: WIDE}})
    assert checked.legal and checked.judged is not None
    # 46 - 12 = 34, 16, and 16 left; N takes its usual 14.
    assert checked.judged.layout.firsts == (inches(16), inches(14))
    assert checked.judged.planes[0].first == inches(16)


def test_no_usual_first_width_but_odd_panels_named() -> None:
    # 24 in with ends of at least 13 in: two panels are too many, one too few. Equal ends would be
    # 12 in; 13 is the nearest width that an end may have. Panel 2 of 9 in then leaves 2.
    planes = (make_plane(width=inches(24)),)
    case = the_case(planes=planes, min_end=inches(13), play=0)
    checked = check(case, {}, {}, {"S": {2: inches(9)}})
    assert checked.judged is not None and checked.usual is None and checked.blind is None
    assert checked.judged.layout.firsts == (inches(13),)
    assert reasons(checked) == ["end-rule"]
    assert checked.reasons[0].says == 'The last width of plane S is 2": it must be at least 13".'
    # Where the case allows no odd panels, a plane that is not named is refused as before.
    plain = the_case(planes=planes, min_end=inches(13), play=0, odd_panels=0)
    refused = check(plain, {}, {})
    assert refused.judged is None and reasons(refused) == ["no-start"]
    named = check(plain, {}, {}, {"S": {2: inches(9)}})
    assert named.judged is not None and reasons(named) == ["end-rule", "odd-panels"]


def test_odd_panels_can_make_legal_what_no_plain_start_does() -> None:
    # 40 in with ends of 13 to 18 in: two panels are at most 36, three with a full one at least 44.
    # With 12 in between, 14 and 14.
    case = the_case(planes=(make_plane(width=inches(40)),), min_end=inches(13), play=0)
    checked = check(case, {"S": inches(14)}, {}, {"S": {2: WIDE}})
    assert checked.legal and checked.judged is not None
    assert checked.judged.planes[0].last == inches(14)
    assert checked.usual is None and checked.blind is None
