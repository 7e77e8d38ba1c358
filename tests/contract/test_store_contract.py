"""What every store keeps to: in memory, on SQLite and on PostgreSQL."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from functools import partial
from typing import TypeVar

import pytest
from hypothesis import HealthCheck, given, settings

from formulary.acts import Act
from formulary.bench.stages import Stage
from formulary.canonical import content_hash
from formulary.drafts import Draft
from formulary.errors import BadText, Conflict, Forbidden, NotFound, Refusal
from formulary.formula.content import Content, Storage
from formulary.formula.version import Formula, State
from formulary.house import Balance, House
from formulary.ids import new_id
from formulary.ingredient import Ingredient
from formulary.kept_calculation import KeptCalculation
from formulary.messages import message
from formulary.people import Identity, Part, Person, Post
from formulary.preparation import Preparation
from formulary.quantity.amount import Amount
from formulary.quantity.density import Density
from formulary.records.chain import verify_chain
from formulary.store import Record, Store
from tests.helpers.kept import (
    ACT,
    NOW,
    a_content,
    a_kept_calculation,
    a_preparation,
    a_print,
    a_version,
    keep_formula,
)
from tests.helpers.strategies import contents

HOUSE = House(
    "h-1",
    "Linden Pharmacy",
    address=("Market 1", "Lindenau"),
    lot_prefix="K",
    balances=(
        Balance(
            "large",
            Amount(Fraction(1000), "g"),
            Amount(Fraction(1, 100), "g"),
            Amount(Fraction(1), "g"),
        ),
    ),
)
OTHERS: list[Record] = [
    HOUSE,
    Person("p-1", "Ada Berg", Post.PHARMACIST),
    Identity("x-1", Part.PATIENT, "Quentin Zimt"),
    Ingredient("i-1", "Zinc oxide", density=Density(Fraction(28, 5), "from memory", "20 °C")),
    Formula("f-9", "ZP", "Zinc paste"),
    Draft("d-1", "p-1", "", '{"title":"Zi"}', NOW),
    a_kept_calculation(),
]


R = TypeVar("R", bound=Record)


def put(store: Store, record: R) -> R:
    with store.writing(ACT, "keep") as transaction:
        return transaction.put(record)


def kept_preparation(store: Store) -> Preparation:
    keep_formula(store, a_content(), state=State.IN_USE)
    with store.writing(ACT, "start") as transaction:
        return transaction.put(a_preparation())


def unsealed(record: Record) -> Record:
    return replace(record, seal="") if isinstance(record, Identity) else record


@pytest.mark.parametrize("record", OTHERS, ids=lambda record: type(record).__name__)
def test_a_record_comes_back_as_it_was_put(store: Store, record: Record) -> None:
    kept = put(store, record)
    assert unsealed(kept) == replace(record, revision=1)
    assert store.get(type(record), record.id) == kept
    assert store.every(type(record)) == [kept]


def test_a_preparation_and_its_print_come_back_as_they_were_put(store: Store) -> None:
    made = kept_preparation(store)
    printed = put(store, a_print())
    assert store.get(Preparation, "m-1") == made == store.preparation("K26-00001")
    assert store.prints("m-1") == [printed]


@given(contents())
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_content_comes_back(store: Store, content: Content) -> None:
    formula_id = new_id()
    keep_formula(store, content, formula_id)
    (version,) = store.versions(formula_id)
    assert version.content == content
    assert verify_chain(store) is None


def test_records_kept_whole_are_found_by_what_they_belong_to(store: Store) -> None:
    first = put(store, a_kept_calculation("k-1"))
    put(store, a_kept_calculation("k-2", subject_id="f-2"))
    last = put(store, a_kept_calculation("k-3"))
    assert list(store.having(KeptCalculation, subject_id="f-1")) == [first, last]
    assert list(store.having(KeptCalculation, subject_id="f-3")) == []


def test_a_calculation_that_was_kept_stays(store: Store) -> None:
    kept = put(store, a_kept_calculation())
    with pytest.raises(Forbidden):
        put(store, replace(kept, note="another"))


def test_a_moment_comes_back_with_its_offset(store: Store) -> None:
    version = keep_formula(store, a_content())
    (found,) = store.versions("f-1")
    assert found.written_at == version.written_at == NOW
    assert found.written_at is not None
    assert found.written_at.utcoffset() == timedelta(hours=1)


def test_what_isn_t_there_is_none(store: Store) -> None:
    assert store.get(Formula, "f-1") is None
    assert store.preparation("K26-00001") is None
    assert not [*store.every(Person), *store.history(), *store.versions("f"), *store.register()]


def test_an_accent_typed_apart_is_kept_in_one(store: Store) -> None:
    assert put(store, Person("p", "Rene\u0301", Post.READER)) == Person(
        "p", "René", Post.READER, revision=1
    )


def test_text_that_can_t_be_kept_is_refused(store: Store) -> None:
    with pytest.raises(BadText), store.writing(ACT, "keep") as transaction:
        transaction.put(Person("p-1", "A\0B", Post.READER))
    with pytest.raises(BadText), store.writing(ACT, "keep") as transaction:
        transaction.tell(note="A\0B")
    assert list(store.history()) == []


# Who changes what


def test_a_second_writer_is_told_who_changed_what(store: Store) -> None:
    first = put(store, Ingredient("i-1", "Zinc oxide"))
    with store.writing(ACT, "save_ingredient") as transaction:
        transaction.put(replace(first, note="white"))
    with store.writing(ACT, "view_patient") as transaction:
        transaction.tell(order="ORD26-0001")
    with pytest.raises(Conflict) as refused:
        put(store, replace(first, note="grey"))
    assert refused.value.message == message(
        "store.changed_elsewhere",
        what=message("store.named.ingredient", name="Zinc oxide"),
        by=ACT.person,
        at=ACT.at,
        act=message("roles.verb.save_ingredient"),
    )
    last = store.last_change(Ingredient, "i-1")
    assert last is not None
    assert last.verb == "save_ingredient"
    assert store.last_change(Ingredient, "i-2") is None


def test_a_second_writer_with_the_same_revision_is_told_whose_record_it_is(store: Store) -> None:
    first = put(store, Ingredient("i-1", "Zinc oxide"))
    put(store, replace(first, note="white"))
    with pytest.raises(Conflict) as refused:
        put(store, replace(first, note="grey"))
    expected = message("store.named.ingredient", name="Zinc oxide")
    assert refused.value.message == message("store.changed", what=expected)
    found = store.get(Ingredient, "i-1")
    assert found is not None
    assert (found.note, found.revision) == ("white", 2)


def test_a_new_record_under_a_kept_id_is_a_conflict(store: Store) -> None:
    put(store, Person("p-1", "Ada Berg", Post.PHARMACIST))
    with pytest.raises(Conflict):
        put(store, Person("p-1", "Someone else", Post.PHARMACIST))


def test_a_record_that_is_gone_can_t_be_changed(store: Store) -> None:
    draft = put(store, Draft("d-1", "p-1", "", "{}", NOW))
    with store.writing(ACT, "discard") as transaction:
        transaction.remove(Draft, "d-1")
    with pytest.raises(Conflict):
        put(store, draft)


def test_a_conflict_about_an_identity_doesn_t_name_it(store: Store) -> None:
    put(store, Identity("x-1", Part.PATIENT, "Quentin Zimt"))
    with pytest.raises(Conflict) as refused:
        put(store, Identity("x-1", Part.PATIENT, "Quentin Zimt"))
    assert "Zimt" not in repr(refused.value.message)


def test_a_draft_s_content_changes(store: Store) -> None:
    version = keep_formula(store, a_content())
    changed = put(store, replace(version, content=a_content("Zinc cream mild")))
    assert store.versions("f-1") == [changed]


@pytest.mark.parametrize("state", [State.IN_REVIEW, State.IN_USE, State.WITHDRAWN])
def test_the_content_of_a_version_that_left_the_draft_state_stays(
    store: Store, state: State
) -> None:
    version = keep_formula(store, a_content(), state=state)
    with pytest.raises(Forbidden):
        put(store, replace(version, content=a_content("Other")))
    assert store.versions("f-1") == [version]


def test_a_version_can_t_go_back_to_draft_and_change_in_one_go(store: Store) -> None:
    version = keep_formula(store, a_content(), state=State.IN_REVIEW)
    with pytest.raises(Forbidden):
        put(store, replace(version, state=State.DRAFT, content=a_content("Other")))


def test_a_version_moves_to_the_state_that_follows(store: Store) -> None:
    version = keep_formula(store, a_content(), state=State.IN_REVIEW)
    moved = replace(version.moved_to(State.IN_USE), approver_id="p-2", approved_at=NOW)
    assert put(store, moved) == store.versions("f-1")[0]


def test_a_version_can_t_jump_over_review(store: Store) -> None:
    version = keep_formula(store, a_content())
    with pytest.raises(Forbidden):
        put(store, replace(version, state=State.IN_USE))


def test_a_preparation_changes_nothing_but_its_stage(store: Store) -> None:
    made = kept_preparation(store)
    labelled = put(store, replace(made, stage=Stage.LABELLED))
    for change in ({"plan": "[]"}, {"lot": "K26-9"}, {"use_by": made.made_on}, {"title": "x"}):
        with pytest.raises(Forbidden):
            put(store, replace(labelled, **change))
    assert store.get(Preparation, "m-1") == labelled


def test_a_last_day_of_use_comes_nearer_before_packing_and_never_goes_further(
    store: Store,
) -> None:
    made = kept_preparation(store)
    nearer = put(store, replace(made, use_by=date(2026, 5, 1), dating="{}"))
    assert store.get(Preparation, "m-1") == nearer
    with pytest.raises(Forbidden):
        put(store, replace(nearer, use_by=date(2026, 5, 2)))


def test_a_label_print_never_changes(store: Store) -> None:
    kept_preparation(store)
    printed = put(store, a_print())
    with pytest.raises(Forbidden):
        put(store, replace(printed, copies=3))


def test_a_lot_is_given_to_one_preparation(store: Store) -> None:
    kept_preparation(store)
    with pytest.raises(Conflict):
        put(store, a_preparation("m-2"))


@pytest.mark.parametrize("record", [a_version(), a_preparation(), a_print()])
def test_nothing_is_kept_without_what_it_belongs_to(store: Store, record: Record) -> None:
    with pytest.raises(NotFound):
        put(store, record)


def test_drafts_and_identities_are_removed_and_nothing_else(store: Store) -> None:
    for record in OTHERS:
        put(store, record)
    with store.writing(ACT, "remove") as transaction:
        transaction.remove(Draft, "d-1")
        transaction.remove(Identity, "x-1")
    for kind in (House, Person, Ingredient, Formula):
        with pytest.raises(Forbidden), store.writing(ACT, "remove") as transaction:
            transaction.remove(kind, "f-9")
    assert not [*store.every(Draft), *store.every(Identity)]


def test_what_isn_t_there_can_t_be_removed(store: Store) -> None:
    with pytest.raises(NotFound), store.writing(ACT, "remove") as transaction:
        transaction.remove(Draft, "d-1")


# Transactions, lots and the history


def test_a_transaction_sees_what_it_has_put(store: Store) -> None:
    with store.writing(ACT, "write") as transaction:
        kept = transaction.put(Formula("f-1", "ZC", "Zinc cream"))
        transaction.put(a_version())
        assert transaction.get(Formula, "f-1") == kept
        assert [hit.code for hit in transaction.find_formulas("zinc")] == ["ZC"]
        again = transaction.put(replace(kept, title="Zinc cream mild"))
    assert (again.revision, store.get(Formula, "f-1")) == (2, again)


def test_a_transaction_that_fails_leaves_nothing(store: Store) -> None:
    class PowerCut(Exception):
        pass

    def start_and_lose_power() -> None:
        with store.writing(ACT, "start") as transaction:
            transaction.put(Formula("f-1", "ZC", "Zinc cream"))
            transaction.put(a_version())
            transaction.put(replace(a_preparation(), lot=transaction.allot_lot(2026)))
            raise PowerCut

    put(store, HOUSE)
    before = store.history()
    with pytest.raises(PowerCut):
        start_and_lose_power()
    assert store.get(Formula, "f-1") is None
    assert not [*store.versions("f-1"), *store.register(), *store.find_formulas("")]
    assert store.history() == before
    with store.writing(ACT, "start") as transaction:
        assert transaction.allot_lot(2026) == "K26-00001"


def test_lots_count_up_within_their_year_under_the_house_s_prefix(store: Store) -> None:
    put(store, HOUSE)
    with store.writing(ACT, "start") as transaction:
        assert [transaction.allot_lot(2026) for _ in range(2)] == ["K26-00001", "K26-00002"]
    with store.writing(ACT, "start") as transaction:
        assert transaction.allot_lot(2027) == "K27-00001"
        assert transaction.allot_lot(2026) == "K26-00003"


def test_a_prefix_that_makes_lots_too_long_is_refused(store: Store) -> None:
    put(store, replace(HOUSE, lot_prefix="KELLERS"))
    with pytest.raises(Refusal), store.writing(ACT, "start") as transaction:
        transaction.allot_lot(2026)


def test_each_transaction_is_one_entry_that_says_what_was_put(store: Store) -> None:
    with store.writing(ACT, "write a formula") as transaction:
        formula = transaction.put(Formula("f-1", "ZC", "Zinc cream"))
        transaction.tell(copies=3, code="ZC")
    (entry,) = store.history()
    assert (entry.number, entry.verb, entry.act, entry.previous) == (
        1,
        "write a formula",
        ACT,
        "0" * 64,
    )
    assert json.loads(entry.details) == {
        "put": [{"hash": content_hash(formula), "id": "f-1", "kind": "formula", "revision": 1}],
        "removed": [],
        "told": {"code": "ZC", "copies": 3},
    }


def test_the_history_is_gapless_pages_and_is_chained(store: Store) -> None:
    for number in range(5):
        put(store, Person(f"p-{number}", "Ada Berg", Post.READER))
    entries = store.history()
    assert [entry.number for entry in entries] == [1, 2, 3, 4, 5]
    assert [entry.previous for entry in entries[1:]] == [entry.hash for entry in entries[:-1]]
    assert store.history(after=2, limit=2) == entries[2:4]
    assert verify_chain(store) is None


def test_an_act_keeps_its_time_its_offset_and_its_reason(store: Store) -> None:
    act = replace(ACT, at=datetime(2026, 7, 1, 23, 59, 59, 123456, tzinfo=UTC), reason="Mould")
    with store.writing(act, "withdraw"):
        pass
    (entry,) = store.history()
    assert entry.act == act
    assert entry.act.at.utcoffset() == timedelta(0)


def test_an_outside_person_is_in_the_history_by_id_and_a_sealed_hash(store: Store) -> None:
    there = put(store, Identity("x-1", Part.PRESCRIBER, "Quentin Zimt"))
    with store.writing(ACT, "erase") as transaction:
        transaction.remove(Identity, "x-1")
    kept, erased = (json.loads(entry.details) for entry in store.history())
    named = {"id": "x-1", "kind": "identity"}
    assert kept["put"] == [named | {"hash": content_hash(there), "revision": 1}]
    assert erased["removed"] == [named]
    assert len(there.seal) == 32
    assert verify_chain(store) is None


# Finding


def codes(store: Store, text: str, limit: int = 50, offset: int = 0) -> list[str]:
    return [hit.code for hit in store.find_formulas(text, limit, offset)]


def keep_all(store: Store, *named: tuple[str, str]) -> None:
    for code, title in named:
        keep_formula(store, a_content(title, code), f"f-{code}")


@pytest.mark.parametrize(
    "text",
    [
        *("zinc", "ZINC CR", "cre zin", "zi", "z", "wóól", "lagod", "2 8", "6 months", "burn"),
        *("oxi", "unguent", "wool", '50% "zinc', "zinc's", "fridge", "cream-zinc", "face", "°"),
    ],
)
def test_a_formula_is_found_by_the_beginning_of_its_words(store: Store, text: str) -> None:
    content = replace(
        a_content("Zinc cream Łagodna 50", "ZC", "Wool fat"),
        latin="Unguentum zinci",
        synonyms=("S-cream",),
        purpose="For burns",
        storage=Storage(lowest=2, highest=8, note="Fridge"),
        label=replace(a_content().label, name="Face cream"),
    )
    keep_formula(store, content)
    assert codes(store, text) == ["ZC"]


@pytest.mark.parametrize("text", ["inc", "zinc paste", "creamy", "x", "zinc zincx"])
def test_a_formula_without_one_of_the_words_isn_t_found(store: Store, text: str) -> None:
    keep_formula(store, a_content())
    assert codes(store, text) == []


def test_an_empty_text_lists_all_by_title(store: Store) -> None:
    keep_all(store, ("A", "Zinc paste"), ("B", "bismuth gel"), ("C", "Ärzte cream"), ("D", "Ada"))
    assert codes(store, "") == codes(store, " % ") == ["D", "C", "B", "A"]


def test_titles_that_begin_so_come_first_then_codes_then_the_rest(store: Store) -> None:
    keep_all(
        store,
        ("AA", "Compound zinc paste"),
        ("ZINC9", "Calamine lotion"),
        ("BB", "Zinc paste"),
        ("CC", "Zinc cream"),
        ("DD", "Mild zinc gel"),
        ("ZINC1", "Zinc spirit"),
    )
    expected = ["CC", "BB", "ZINC1", "ZINC9", "AA", "DD"]
    assert codes(store, "zinc") == expected
    pages = [codes(store, "zinc", 2, offset) for offset in range(7)]
    assert pages == [expected[offset : offset + 2] for offset in range(7)]


def test_those_withdrawn_come_last_on_their_page(store: Store) -> None:
    keep_all(store, ("AA", "Zinc cream"), ("BB", "Zinc paste"), ("ZINC1", "Calamine lotion"))
    keep_formula(store, a_content("Zinc balm", "XX"), "f-XX", state=State.WITHDRAWN)
    assert codes(store, "zinc") == ["AA", "BB", "ZINC1", "XX"]
    assert codes(store, "") == ["ZINC1", "AA", "BB", "XX"]
    assert [codes(store, "zinc", 2, offset) for offset in (0, 2)] == [["AA", "XX"], ["BB", "ZINC1"]]


def test_a_hit_shows_the_version_in_use_else_the_newest(store: Store) -> None:
    old = keep_formula(store, a_content("Zinc cream old"), state=State.IN_USE)
    newer = replace(a_content(), storage=None)
    put(store, a_version(newer, number=2))
    (hit,) = store.find_formulas("zinc")
    assert (hit.state, hit.storage) == (State.IN_USE, old.content.storage)
    assert hit.shelf_life == old.content.shelf_life
    put(store, old.moved_to(State.WITHDRAWN))
    (hit,) = store.find_formulas("zinc")
    assert (hit.state, hit.storage) == (State.DRAFT, None)


def test_a_renamed_formula_is_found_by_its_new_name_only(store: Store) -> None:
    version = keep_formula(store, a_content("Soothing paste"))
    formula = store.get(Formula, "f-1")
    assert formula is not None
    with store.writing(ACT, "write") as transaction:
        transaction.put(replace(formula, title="Calamine gel"))
        transaction.put(replace(version, content=a_content("Calamine gel")))
    assert (codes(store, "cala"), codes(store, "soothing")) == (["ZC"], [])


def test_a_formula_is_found_by_its_ingredients_other_names(store: Store) -> None:
    keep_formula(store, a_content())
    assert codes(store, "zincum") == []
    zinc = put(store, Ingredient("i-1", "Zinc Oxide", "Zincum oxydatum", ("Flowers of zinc",)))
    assert codes(store, "zincum") == codes(store, "flow") == ["ZC"]
    put(store, replace(zinc, latin="Zinci oxidum"))
    assert (codes(store, "zincum"), codes(store, "zinci")) == ([], ["ZC"])


def test_an_ingredient_is_meant_by_its_id_rather_than_its_name(store: Store) -> None:
    content = a_content()
    line = replace(content.lines[0], ingredient="White stuff", ingredient_id="i-1")
    put(store, Ingredient("i-1", "Zinc oxide", "Zincum"))
    keep_formula(store, replace(content, lines=(line, *content.lines[1:])))
    assert codes(store, "zincum") == codes(store, "white") == ["ZC"]


def test_a_name_is_found_whole_whatever_its_case_and_accents(store: Store) -> None:
    keep_all(store, ("Z-1", "Crème"), ("Z 2", "Creme mild"))
    named = partial(map, lambda formula: formula.code)
    assert list(named(store.formulas_named(" CREME "))) == ["Z-1"]
    assert list(named(store.formulas_named("z-1"))) == ["Z-1"]
    assert list(named(store.formulas_named("z 1"))) == []
    assert list(named(store.formulas_named("crem"))) == []


def test_the_register_lists_newest_first_and_counts_labels(store: Store) -> None:
    kept_preparation(store)
    later = replace(a_preparation("m-2", "K26-00002"), started_at=NOW + timedelta(hours=1))
    put(store, later)
    put(store, a_print("l-1", copies=2))
    put(store, a_print("l-2", copies=3))
    rows = store.register()
    assert [(row.lot, row.labels_printed) for row in rows] == [("K26-00002", 0), ("K26-00001", 5)]
    assert (rows[0].target, rows[0].started_at, rows[0].stage) == (
        "2 x 50 g",
        later.started_at,
        Stage.PLANNED,
    )
    assert store.register(limit=1, offset=1) == rows[1:]


@pytest.mark.parametrize(
    ("text", "lots"),
    [("k26-00002", [2]), ("2 ZINC", [2, 1]), ("zinc 002", [2]), ("cream", [2, 1]), ("gel", [])],
)
def test_the_register_is_searched_by_lot_code_and_title(
    store: Store, text: str, lots: list[int]
) -> None:
    kept_preparation(store)
    put(store, a_preparation("m-2", "K26-00002"))
    assert [int(row.lot[-1]) for row in store.register(text)] == lots


def test_the_register_lists_what_is_at_a_stage_now(store: Store) -> None:
    kept_preparation(store)
    put(store, replace(a_preparation("m-2", "K26-00002"), stage=Stage.REQUESTED))
    (row,) = store.register(stage=Stage.REQUESTED)
    assert (row.lot, row.containers) == ("K26-00002", 2)
    assert store.register("gel", stage=Stage.REQUESTED) == []
    assert store.register(stage=Stage.RELEASED) == []


def test_an_act_without_a_person_s_zone_is_impossible() -> None:
    with pytest.raises(ValueError, match="offset"):
        Act("p", "Ada", "pharmacist", "bench", datetime(2026, 1, 1))  # noqa: DTZ001  the point


def test_many_acts_land_at_once_or_none_of_them(store: Store) -> None:
    def keep(into: Store, number: int) -> None:
        with into.writing(ACT, f"verb {number}") as writing:
            writing.put(Formula(f"f-{number}", f"C{number}", f"Formula {number}"))

    def failing() -> None:
        with store.at_once() as whole:
            keep(whole, 1)
            assert whole.get(Formula, "f-1") is not None
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        failing()
    assert store.get(Formula, "f-1") is None
    assert store.last_entry() is None
    with store.at_once() as whole:
        keep(whole, 2)
        keep(whole, 3)
    assert [each.verb for each in store.history()] == ["verb 2", "verb 3"]
