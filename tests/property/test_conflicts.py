"""The groups of `why` against brute force over all subsets: the same minimal ones, exactly.

The brute force has its legal first widths, links and states from `oracle.py`, which shares no code
with the program. What else takes part is checked by solving the case again with that taken away
from the document.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from itertools import combinations, product
from typing import Any

import pytest

import oracle
from solver.api import case_from_document
from solver.conflicts import groups as conflicts
from solver.conflicts import search as conflict_search
from solver.conflicts.result import Explanation, Thing
from strategies import random_case

Document = dict[str, Any]
SHARED_SEEDS = range(310_000, 310_200)
OWN_SEEDS = range(960)
TOO_MANY = 40_000


class Brute:
    """Every legal start of a roof and what it leaves clear, nothing moved but what is agreed."""

    def __init__(self, document: Document) -> None:
        self.case = case = oracle.read(document)
        self.firsts = [
            [f for f in oracle.legal_firsts(case, plane) if case.agreed_firsts.get(i, f) == f]
            for i, plane in enumerate(case.planes)
        ]
        self._clear = [
            {first: self._clear_on(i, first) for first in firsts}
            for i, firsts in enumerate(self.firsts)
        ]
        self.sets = set(self._starts())

    @property
    def size(self) -> int:
        size = 1
        for firsts in self.firsts:
            size *= len(firsts)
        return size

    def _clear_on(self, plane: int, first: int) -> int:
        mask = 0
        for p in self.case.on(plane):
            x = self.case.pens[p].x + self.case.agreed_moves.get(p, 0)
            if oracle.stand(self.case, self.case.pens[p], first, x).state == "clear":
                mask |= 1 << p
        return mask

    def _starts(self) -> Iterator[int]:
        must = [link for link in self.case.links if link.must]
        assert self.size <= TOO_MANY, "too many combinations for brute force"
        for firsts in product(*self.firsts):
            if all(oracle.link_met(self.case, link, firsts) for link in must):
                mask = 0
                for plane, first in enumerate(firsts):
                    mask |= self._clear[plane][first]
                yield mask

    def possible(self, group: tuple[int, ...]) -> bool:
        wanted = sum(1 << p for p in group)
        return any(clear & wanted == wanted for clear in self.sets)

    def at(self, firsts: dict[str, int], group: tuple[int, ...]) -> bool:
        """Whether these first widths (half ticks) are legal and leave the group clear.

        Planes not named are left out, as are the must links to them.
        """
        ids = [plane.id for plane in self.case.planes]
        given = {ids.index(name): first for name, first in firsts.items()}
        if any(first not in self.firsts[i] for i, first in given.items()):
            return False
        every = [given.get(i, 0) for i in range(len(ids))]
        met = all(
            oracle.link_met(self.case, link, every)
            for link in self.case.links
            if link.must and link.one in given and link.two in given
        )
        return met and all(
            self._clear[self.case.pens[p].plane][given[self.case.pens[p].plane]] >> p & 1
            for p in group
        )

    def groups(self) -> set[tuple[int, ...]]:
        """All minimal sets that cannot all be clear, from all subsets."""
        found: list[tuple[int, ...]] = []
        everyone = range(len(self.case.pens))
        for size in range(1, len(self.case.pens) + 1):
            for some in combinations(everyone, size):
                if not any(set(small) <= set(some) for small in found) and not self.possible(some):
                    found.append(some)
        return set(found)


def explained(document: Document) -> Explanation:
    return conflicts.explain(case_from_document(document), most=1_000, size=12)


def changed(document: Document, things: tuple[Thing, ...]) -> Document:
    """The document without these things."""
    other = copy.deepcopy(document)
    for thing in things:
        if thing.kind == "end-rule":
            other.setdefault("rules", {})["min_end"] = 0
        elif thing.kind == "end-lap":
            other.setdefault("rules", {})["end_lap"] = 0
        elif thing.kind == "link":
            other["link"][thing.place]["must"] = False
        else:
            del other["freeze"]["first"][thing.about[0]]
    return other


def tight_case(seed: int) -> Document:
    """A small roof with must links and tight ends, and pipes at odds with each other.

    In inches on a mark of 1 in (now and then 1/2), one to three planes, up to ten penetrations.
    """
    draw = random.Random(seed)
    cover = draw.choice([10, 12, 15, 16, 18])
    rules: Document = {
        "min_end": draw.choice([0, 2, 4, cover // 2, cover // 2, cover - 3]),
        "end_lap": draw.choice([0, 1, 3, 6]),
        "curb_side": draw.choice([0, 1, 2, 4]),
        "work_gap": draw.choice([0, "1/2", 1]),
        "seamer_gap": draw.choice([0, 0, 2]),
        "meet_tol": draw.choice([0, "1/2", 1]),
    }
    planes = [
        {"id": "PQR"[i], "width": draw.choice([cover * k + draw.randrange(cover)
                                                for k in (0, 1, 2, 3, 5)]) or cover,
         "length": 400, "lay": draw.choice(["left-to-right", "right-to-left"])}
        for i in range(draw.choice([1, 1, 2, 2, 2, 3]))
    ]
    pairs = [(0, 1), (1, 2), (0, 2)][: {1: 0, 2: 1, 3: draw.choice([1, 2, 2, 3])}[len(planes)]]
    links: list[Document] = [
        {"planes": [planes[a]["id"], planes[b]["id"]], "how": draw.choice(["mirror", "same"]),
         "offset": draw.choice([0, 0, 1, 5, -3]), "stagger": draw.random() < 0.2,
         "must": draw.random() < 0.8}
        for a, b in pairs
    ]
    if links and draw.random() < 0.1:  # two links between the same planes
        links.append({**links[0], "offset": draw.choice([0, 1, 2])})
    pens: list[Document] = []
    for n in range(draw.choice([2, 3, 4, 5, 6, 8, 10])):
        plane = draw.choice(planes)
        width = plane["width"]
        x = draw.choice([draw.randrange(2 * width + 1) / 2, draw.randrange(width + 1)])
        pen = {"id": f"V{n}", "plane": plane["id"], "x": x, "y": 20 + 30 * n}
        if draw.random() < 0.2:
            across = min(draw.choice([1, 2, 3, 5, cover - 4, cover + 2]), width)
            x = min(max(x, across / 2), width - across / 2)
            pen |= {"kind": "curb", "across": across, "along": 4, "x": x}
        else:
            outside = draw.choice([1, 2, 3])
            pen |= {"kind": "pipe", "outside": outside,
                    "base": outside + draw.choice([0, 1, 2, 3, 5, 6])}
        pens.append(pen)
    marks = [1, 1, "1/2"] if len(planes) < 3 else [1]
    found: Document = {
        "title": "tight", "units": "in", "mark": draw.choice(marks),
        "panel": {"cover": cover, "seam_back": draw.choice([0, "1/4", "1/2", 1]),
                  "seam_fwd": draw.choice([0, "3/8", "1/2", 1])},
        "rules": rules, "plane": planes, "penetration": pens,
    }
    if links:
        found["link"] = links
    return found


def frozen(document: Document, seed: int) -> Document | None:
    """The document with one legal first width agreed; None where no plane has several."""
    brute = Brute(document)
    draw = random.Random(seed)
    open_ones = [i for i, firsts in enumerate(brute.firsts) if len(firsts) > 1]
    if not open_ones:
        return None
    which = draw.choice(open_ones)
    first = draw.choice(brute.firsts[which]) / 2 / 16256
    return {**copy.deepcopy(document),
            "freeze": {"first": {document["plane"][which]["id"]: first}}}


def hold(document: Document) -> None:
    """Everything the explanation says of a document, against brute force."""
    brute, found = Brute(document), explained(document)
    if not brute.sets:
        assert found.reasons and not found.all_clear
        return
    assert not found.reasons
    ids = [pen.id for pen in found.case.penetrations]
    groups = [tuple(ids.index(name) for name in group.ids) for group in found.groups]
    assert set(groups) == brute.groups()
    assert len(groups) == len(set(groups)) == found.found
    assert groups == sorted(groups, key=lambda group: (len(group), group))
    assert all(part.complete for part in found.parts)
    everyone = tuple(range(len(ids)))
    assert found.all_clear == brute.possible(everyone)
    best = {name: 2 * first for part in found.parts for name, first in part.best}
    missed = {name for part in found.parts for name in part.not_clear}
    kept = tuple(p for p in everyone if ids[p] not in missed)
    assert brute.at(best, kept)
    assert len(kept) == max(mask.bit_count() for mask in brute.sets)
    for entry, group in zip(found.groups, groups, strict=True):
        assert entry.whole
        for drop in entry.without:
            rest = tuple(p for p in group if ids[p] != drop.id)
            assert brute.at({name: 2 * first for name, first in drop.starts}, rest)
        assert len(entry.without) == (len(group) if len(group) > 1 else 0)


def hold_things(document: Document) -> None:
    """What takes part in each group, by solving again with every thing, or two, taken away."""
    if not Brute(document).sets:
        return  # a plane without a start: brute force over the whole roof says nothing
    found = explained(document)
    ids = [pen.id for pen in found.case.penetrations]
    solved: dict[tuple[Thing, ...], Brute] = {}
    for entry in found.groups:
        group = tuple(ids.index(name) for name in entry.ids)
        part = next(p for p in found.parts if entry.members[0].plane in p.planes)
        rules = found.case.rules
        things = [Thing("end-rule")] if rules.min_end else []
        things += [Thing("end-lap")] if rules.end_lap else []
        things += [Thing("link", link.planes, n) for n, link in enumerate(found.case.links)
                   if link.must and set(link.planes) <= set(part.planes)]
        things += [Thing("agreed", (name,)) for name, _ in found.case.freeze.firsts
                   if name in part.planes]
        for size in (1, 2, 3):
            works = set()
            for some in combinations(things, size):
                if some not in solved:
                    solved[some] = Brute(changed(document, some))
                if solved[some].possible(group):
                    works.add(some)
            if works:
                assert {relief.things for relief in entry.reliefs} == works
                break
        else:
            assert not entry.reliefs
        for relief in entry.reliefs:
            starts = {name: 2 * first for name, first in relief.starts}
            assert solved[relief.things].at(starts, group)


@pytest.mark.parametrize("seed", SHARED_SEEDS)
def test_same_groups_as_brute_force_on_cases_of_every_kind(seed: int) -> None:
    hold(random_case(seed))


@pytest.mark.parametrize("seeds", [OWN_SEEDS[n::8] for n in range(8)])
def test_same_groups_as_brute_force_with_links_and_tight_ends(seeds: range) -> None:
    for seed in seeds:
        hold(tight_case(seed))


@pytest.mark.parametrize("seeds", [OWN_SEEDS[n:400:8] for n in range(8)])
def test_linked_planes_too_large_to_list_give_the_same_groups(
    seeds: range, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other way of looking, forced on small cases: what the links leave of every plane."""
    monkeypatch.setattr(conflict_search, "MOST_STARTS", 0)
    for seed in seeds:
        brute, found = Brute(document := tight_case(seed)), explained(document)
        ids = [pen.id for pen in found.case.penetrations]
        if brute.sets:
            groups = [tuple(ids.index(name) for name in group.ids) for group in found.groups]
            assert groups == sorted(brute.groups(), key=lambda group: (len(group), group))


@pytest.mark.parametrize("seeds", [OWN_SEEDS[n:300:12] for n in range(12)])
def test_what_takes_part_is_what_helps_when_taken_away(seeds: range) -> None:
    for seed in seeds:
        hold_things(tight_case(seed))


@pytest.mark.parametrize("seeds", [OWN_SEEDS[n:240:6] for n in range(6)])
def test_an_agreed_start_takes_part_like_a_rule(seeds: range) -> None:
    for seed in seeds:
        document = frozen(tight_case(seed), seed)
        if document is not None:
            hold(document)
            hold_things(document)


@pytest.mark.parametrize("seeds", [OWN_SEEDS[n:160:4] for n in range(4)])
def test_robust_cases_go_by_the_worst_room(seeds: range) -> None:
    """Seams that creep and a width that is off: clear is what is still clear after the worst."""
    for seed in seeds:
        document, draw = tight_case(seed), random.Random(seed)
        document["rules"] |= {
            "robust": True, "cover_tol": draw.choice([0, "1/16", "1/4"]), "remeasure": 3,
            "width_tol": draw.choice([0, "1/2"]), "x_tol": draw.choice([0, "1/4", 1]),
        }
        hold(document)


def test_the_generator_makes_what_is_to_be_tested() -> None:
    """Groups of one, two, three and more; each thing alone and two together; ends and links."""
    sizes: set[int] = set()
    kinds: set[tuple[str, ...]] = set()
    spanning = pairs = 0
    for seed in range(400):
        for group in explained(tight_case(seed)).groups:
            sizes.add(len(group.members))
            kinds |= {tuple(t.kind for t in relief.things) for relief in group.reliefs}
            spanning += len({member.plane for member in group.members}) > 1
            pairs += group.pair is not None
    assert {1, 2, 3} <= sizes
    assert {("end-rule",), ("end-lap",), ("link",)} <= kinds
    assert any(len(kind) == 2 for kind in kinds)
    assert spanning > 10 and pairs > 10
