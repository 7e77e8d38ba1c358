"""From its start to its jars a preparation lasts no longer than rule, formula and materials."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from formulary.bench.stages import Stage
from formulary.desk import Desk
from formulary.errors import Forbidden, NotFound, Refusal
from formulary.formula.content import Content, Evidence, Form, Period, ShelfLife, Span, Storage
from formulary.formula.stability import Preservation, Preserved, Water, WaterClass
from formulary.labels.content import LabelContent
from formulary.people import Person, Post
from formulary.shelf_life.house_rules import CODE, DraftRules, HouseLimit
from formulary.stock.container import StockContainer
from formulary.stock.expiry import Expiry
from formulary.stock.lot import SupplyLot
from formulary.verbs.date_preparation import date_on_record, date_version
from formulary.verbs.issue_labels import label_contents, trial_contents, trial_contents_of
from formulary.verbs.keep_records import save_house
from formulary.verbs.list_register import Wanted, list_register
from formulary.verbs.make_order import make_order
from formulary.verbs.review_formula import review_version
from formulary.verbs.sign_house_rules import sign_house_rules
from formulary.verbs.stage_container import stage_container
from formulary.verbs.start_preparation import Order
from formulary.verbs.write_version import write_version
from tests.helpers.desks import ADA, BEN, CID, MORNING, PIN, PIN_HASH, Stopped, at
from tests.helpers.kept import a_content
from tests.helpers.ordered import an_order, checked
from tests.helpers.stocked_bench import Job, a_job, a_stocked_house, four_lines, lot_of

WATERY = Water(WaterClass.AQUEOUS, source="water is the vehicle")
WORKS = Preservation(Preserved.YES, "sorbate at pH 4")
HALF_A_YEAR = ShelfLife(Period(6, Span.MONTHS), opened=Period(14, Span.DAYS))


def days(number: int) -> Period:
    """Return so many days."""
    return Period(number, Span.DAYS)


def watery(**more: object) -> Content:
    """Return the four lines as a preserved watery cream that claims half a year."""
    content = replace(four_lines(), water=WATERY, preservation=WORKS, shelf_life=HALF_A_YEAR)
    return replace(content, **more)  # type: ignore[arg-type]  # fields by name


def a_watery_job(desk: Desk, **more: object) -> Job:
    """Return that cream with its materials on the shelf."""
    return a_job(a_stocked_house(desk), watery(**more))


def with_lot(job: Job, line: int, expiry: date) -> None:
    """Let a line's lot end on a day."""
    lot = lot_of(job.desk, job.containers[line])
    other = job.another(line, "Later-1", expiry=Expiry(expiry))
    (container,) = job.desk.store.having(StockContainer, number=other)
    job.containers[line] = container
    assert lot.expiry.last_day != expiry


def test_a_start_is_dated_by_the_rule_and_not_by_the_habit_of_the_formula(desk: Desk) -> None:
    made = a_watery_job(desk).started().made
    assert made.use_by == date(2026, 4, 13)
    dated = date_on_record(made)
    assert dated is not None
    assert "35 days" in dated.bound_by
    assert "13 Apr 2026" in dated.working[-1].replace("\N{NO-BREAK SPACE}", " ")
    assert "USP <795>" in dated.rules


def test_what_was_weighed_binds_once_the_jars_are_filled(desk: Desk) -> None:
    job = a_watery_job(desk)
    with_lot(job, 2, date(2026, 3, 31))
    job.started().cleared()
    assert job.made.use_by == date(2026, 4, 13)
    made = job.packed().made
    assert made.stage is Stage.PACKED
    assert made.use_by == date(2026, 3, 31)
    dated = date_on_record(made)
    assert dated is not None
    assert "Oil, lot Later-1" in dated.bound_by
    kinds = [each["kind"] for each in json.loads(made.dating)["candidates"]]
    assert kinds.count("lot") == 4


def test_a_pack_binds_by_its_life_once_open(desk: Desk) -> None:
    job = a_watery_job(desk)
    soon = replace(job.container(1), in_use=days(7))
    with job.desk.writing("open_container") as writing:
        writing.put(replace(soon, opened_on=MORNING.date()))
    made = job.started().cleared().packed().made
    assert made.use_by == date(2026, 3, 16)
    dated = date_on_record(made)
    assert dated is not None
    assert "once opened" in dated.bound_by


def test_the_label_says_the_final_day_and_the_period_once_opened(desk: Desk) -> None:
    job = a_watery_job(desk)
    with_lot(job, 0, date(2026, 3, 31))
    made = job.started().cleared().packed().made
    label: LabelContent = label_contents(job.desk, made)[0]
    assert label.use_by == date(2026, 3, 31)
    assert label.after_opening == days(14)


def test_a_trial_is_dated_by_the_rule_too(desk: Desk) -> None:
    version = a_watery_job(desk).version
    (label,) = trial_contents(desk, version.id, Order("200 g"))
    assert label.use_by == date(2026, 4, 13)


def test_nothing_is_put_in_use_that_has_no_date_to_trust(desk: Desk) -> None:
    bare = Preservation(Preserved.NO)
    with pytest.raises(Refusal, match="kept_too_warm"):
        a_watery_job(desk, preservation=bare, storage=Storage(15, 25))


def test_nothing_is_started_to_which_the_houses_rules_give_no_date_any_more(desk: Desk) -> None:
    job = a_watery_job(desk)
    limit = HouseLimit("Powder", days(21), "Stability record 12", form=Form.POWDER)
    sign_house_rules(at(desk, ADA), DraftRules((limit,)), PIN)
    save_house(at(desk, ADA), replace(desk.house, rule_set=CODE))
    with pytest.raises(Refusal, match="no_limit"):
        job.started()
    assert not desk.store.register()


def test_what_is_dated_by_a_limit_that_holds_only_colder_needs_a_reason(desk: Desk) -> None:
    warm = replace(a_content(), storage=Storage(15, 25))
    silent = write_version(at(desk, ADA), warm)
    found = [each for each in review_version(desk, silent).open if each.rule == "undated"]
    assert [each.said.key for each in found] == ["shelf_life.colder_than_kept"]
    cold = write_version(at(desk, ADA), replace(warm, code="C", storage=Storage(2, 8)))
    assert "undated" not in {each.rule for each in review_version(desk, cold).findings}


def test_a_trial_label_gives_no_date_that_isnt_to_be_trusted(desk: Desk) -> None:
    bare = replace(a_content(), water=WATERY, preservation=Preservation(Preserved.NO))
    warm = replace(bare, storage=Storage(15, 25))
    with pytest.raises(Refusal, match="kept_too_warm"):
        trial_contents_of(desk, warm, Order("60 g"))
    cold = replace(bare, storage=Storage(2, 8))
    assert trial_contents_of(desk, cold, Order("60 g"))


def test_evidence_counts_from_the_pharmacists_signature_that_puts_it_in_use(desk: Desk) -> None:
    study = Evidence(days(90), "An invented study, page 7", *[True] * 4)
    version = a_watery_job(desk, evidence=study).version
    house = desk.house
    assert version.approver_id == BEN.id
    assert date_version(house, version, MORNING.date()).use_by == date(2026, 6, 7)
    draft = replace(version, approver_id="", content=version.content)
    assert date_version(house, draft, MORNING.date()).use_by == date(2026, 4, 13)


def test_a_house_that_chose_another_set_is_dated_by_that_one_alone(desk: Desk) -> None:
    job = a_watery_job(desk)
    save_house(at(desk, ADA), replace(desk.house, rule_set="be-2-months"))
    made = job.started().made
    assert made.use_by == date(2026, 5, 9)
    assert json.loads(made.dating)["rule_set"]["code"] == "be-2-months"


def test_a_set_that_is_unknown_or_unsigned_dates_nothing(desk: Desk) -> None:
    job = a_watery_job(desk)
    save_house(at(desk, ADA), replace(desk.house, rule_set=CODE))
    with pytest.raises(Refusal, match="no_house_rules"):
        job.started()
    save_house(at(desk, ADA), replace(desk.house, rule_set="none"))
    with pytest.raises(NotFound, match="no_such_set"):
        job.started()


OURS = DraftRules(
    (
        HouseLimit("Watery cream", days(21), "Stability record 12", water=WaterClass.AQUEOUS),
        HouseLimit("Anything", days(60), "Stability record 13"),
    ),
    ceiling=days(90),
)


def test_house_rules_are_signed_by_a_pharmacist_and_then_date(desk: Desk) -> None:
    job = a_watery_job(desk)
    house = sign_house_rules(at(desk, BEN), OURS, PIN)
    assert house.house_rules is not None
    assert house.house_rules.signature.person == BEN.name
    assert house.house_rules.signature.content_hash
    save_house(at(desk, ADA), replace(desk.house, rule_set=CODE))
    made = job.started().made
    assert made.use_by == date(2026, 3, 30)
    assert "Ben Cole" in json.loads(made.dating)["rule_set"]["citation"]
    assert desk.store.history(0, 500)[-1].verb == "start_preparation"


def test_house_rules_hold_from_their_signing(desk: Desk) -> None:
    version = a_watery_job(desk).version
    later = replace(desk, clock=Stopped(MORNING.replace(day=20)))
    sign_house_rules(at(later, BEN), OURS, PIN)
    house = replace(desk.house, rule_set=CODE)
    assert date_version(house, version, date(2026, 3, 19)).stop is not None
    assert date_version(house, version, date(2026, 3, 20)).stop is None


def test_nobody_else_signs_them_and_no_door_goes_round_the_signature(desk: Desk) -> None:
    with pytest.raises(Forbidden):
        sign_house_rules(at(desk, CID), OURS, PIN)
    with pytest.raises(Forbidden):
        sign_house_rules(at(desk, BEN), OURS, "1111")
    signed = sign_house_rules(at(desk, BEN), OURS, PIN)
    assert signed.house_rules is not None
    longer = replace(signed.house_rules, rules=replace(OURS, limits=OURS.limits[1:]))
    kept = save_house(at(desk, ADA), replace(desk.house, house_rules=longer))
    assert kept.house_rules == signed.house_rules


@pytest.mark.parametrize(
    "rules", [DraftRules(()), DraftRules((HouseLimit("Cream", days(21), " "),))]
)
def test_rules_without_a_limit_or_a_source_arent_signed(desk: Desk, rules: DraftRules) -> None:
    with pytest.raises(Refusal, match="house_rule"):
        sign_house_rules(at(desk, BEN), rules, PIN)
    assert desk.house.house_rules is None


def test_only_a_pharmacist_chooses_the_rule_set(desk: Desk) -> None:
    office = Person("p-eva", "Eva Frey", Post.ADMINISTRATOR, PIN_HASH)
    with pytest.raises(Forbidden):
        save_house(at(desk, office), replace(desk.house, rule_set="be-2-months"))
    assert save_house(at(desk, office), replace(desk.house, telephone="1")).telephone == "1"


def test_what_is_dated_stays_when_the_house_chooses_anew(desk: Desk) -> None:
    job = a_watery_job(desk).started().cleared()
    save_house(at(desk, ADA), replace(desk.house, rule_set="be-2-months"))
    assert job.packed().made.use_by == date(2026, 4, 13)


def test_a_lot_that_lasts_is_no_reason_to_last_longer(desk: Desk) -> None:
    made = a_watery_job(desk).started().cleared().packed().made
    assert made.use_by == date(2026, 4, 13)
    (lot, *_) = desk.store.every(SupplyLot)
    assert lot.expiry.last_day > made.use_by


def test_a_container_that_ends_within_the_treatment_is_told_and_decided_before_release(
    desk: Desk,
) -> None:
    job = a_watery_job(desk)
    with_lot(job, 2, date(2026, 3, 16))
    order = checked(desk, an_order(desk, job.version))
    job.lot = make_order(at(desk, CID), order.id).lot
    job.cleared()
    number = job.container(2).number
    fetched = stage_container(job.desk, job.lot, 2, number, typed=False)
    assert fetched.shortens is not None
    assert fetched.shortens.key == "verbs.treatment_shortened"
    first = stage_container(job.desk, job.lot, 0, job.container(0).number, typed=False)
    assert first.shortens is None
    made = job.packed().made
    assert made.use_by == date(2026, 3, 16)
    (deviation,) = job.work.state.open_deviations
    assert "23 Mar 2026" in str(deviation.what).replace("\N{NO-BREAK SPACE}", " ")


def test_a_treatment_within_the_date_opens_nothing(desk: Desk) -> None:
    job = a_watery_job(desk)
    with_lot(job, 2, date(2026, 3, 31))
    order = checked(desk, an_order(desk, job.version))
    job.lot = make_order(at(desk, CID), order.id).lot
    assert job.cleared().packed().made.use_by == date(2026, 3, 31)
    assert job.work.state.open_deviations == ()


def test_the_register_shows_the_day_that_what_was_weighed_leaves(desk: Desk) -> None:
    job = a_watery_job(desk)
    with_lot(job, 2, date(2026, 3, 31))
    job.started().cleared().weighs_all()
    assert job.made.use_by == date(2026, 4, 13)
    (row,) = list_register(desk.store, Wanted(), 50)
    assert (row.stage, row.use_by) == (Stage.IN_WORK, date(2026, 3, 31))
