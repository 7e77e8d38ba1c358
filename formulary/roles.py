"""Who may do what: one table, looked into by every act, whichever door it comes through."""

from __future__ import annotations

from formulary.errors import Forbidden
from formulary.messages import message
from formulary.people import Person, Post

_PHARMACIST = frozenset({Post.PHARMACIST})
_BENCH = frozenset({Post.PHARMACIST, Post.TECHNICIAN})
_OFFICE = frozenset({Post.PHARMACIST, Post.ADMINISTRATOR})

MAY: dict[str, frozenset[Post]] = {
    "write_version": _BENCH,
    "keep_draft": _BENCH,
    "drop_draft": _BENCH,
    "send_to_review": _BENCH,
    "return_to_draft": _PHARMACIST,
    "put_in_use": _PHARMACIST,
    "withdraw": _PHARMACIST,
    "override_finding": _PHARMACIST,
    "add_house_rule": _PHARMACIST,
    "end_house_rule": _PHARMACIST,
    "keep_dossier": _BENCH,
    "save_layout": _BENCH,
    "put_layout_in_use": _PHARMACIST,
    "end_layout": _PHARMACIST,
    "acknowledge_version": _BENCH,
    "save_ingredient": _BENCH,
    "attach_sheet": _BENCH,
    "save_house": _OFFICE,
    "restore": _OFFICE,
    "mend_columns": _OFFICE,
    "erase_people": _OFFICE,
    "export_everything": _OFFICE,
    "import_everything": _OFFICE,
    "move_formulary": _OFFICE,
    "grant_rights": _OFFICE,
    "lock_names": _OFFICE,
    "save_names_key": _OFFICE,
    "take_over_names_key": _OFFICE,
    "sign_house_rules": _PHARMACIST,
    "keep_workstation": _BENCH | _OFFICE,
    "save_person": _OFFICE,
    "set_pin": frozenset(Post),
    "keep_calculation": _BENCH,
    "start_preparation": _BENCH,
    "reserve_blanks": _BENCH,
    "address_preparation": _BENCH,
    "issue_labels": _BENCH,
    "keep_order_draft": _BENCH,
    "drop_order_draft": _BENCH,
    "take_order": _BENCH,
    "change_order": _BENCH,
    "compose_one_off": _BENCH,
    "ask_prescriber": _BENCH,
    "answer_query": _BENCH,
    "sign_plausibility": _PHARMACIST,
    "cancel_order": _BENCH,
    "view_patient": _BENCH,
    "find_person": _BENCH,
    **dict.fromkeys(
        (
            "check_plan",
            "clear_bench",
            "stage_container",
            "tare_vessel",
            "weigh_vessel",
            "restore_water",
            "weigh_line",
            "transfer_line",
            "check_line",
            "end_line",
            "add_drops",
            "make_mixture",
            "start_step",
            "finish_step",
            "start_timer",
            "stop_timer",
            "note_measurement",
            "join_phases",
            "interrupt_work",
            "continue_work",
            "take_yield",
            "test_quality",
            "fill_containers",
            "void_labels",
            "reconcile_labels",
            "send_for_release",
            "hand_over",
            "open_deviation",
            "hold",
            "step_back",
            "move_bench",
            "transcribe",
            "correct_entry",
            "self_check",
            "check_balance",
        ),
        _BENCH,
    ),
    **dict.fromkeys(
        (
            "decide_line",
            "allow_exception",
            "release",
            "reject",
            "decide_deviation",
            "lift_hold",
            "cancel",
        ),
        _PHARMACIST,
    ),
    "note_equipment": _BENCH,
    "reconstitute": _BENCH,
    "receive_lot": _BENCH,
    "attach_certificate": _BENCH,
    "complete_lot": _BENCH,
    "accept_lot": _PHARMACIST,
    "reject_lot": _PHARMACIST,
    "retest_lot": _PHARMACIST,
    "freeze_lot": _BENCH,
    "lift_halt": _PHARMACIST,
    "identify_container": _BENCH,
    "keep_intermediate": _BENCH,
    "open_container": _BENCH,
    "decant_stock": _BENCH,
    "count_stock": _BENCH,
    "correct_stock": _PHARMACIST,
    "take_sample": _BENCH,
    "waste_stock": _BENCH,
    "destroy_stock": _BENCH,
    "empty_container": _BENCH,
    "save_goods": _BENCH,
    "receive_goods": _BENCH,
    "use_goods": _BENCH,
    "count_goods": _BENCH,
    "set_level": _BENCH,
    "issue_shelf_labels": _BENCH,
    "recall_lot": _PHARMACIST,
    "note_call": _BENCH,
    "close_recall": _PHARMACIST,
    "change_wording": _PHARMACIST,
    "approve_wordings": _PHARMACIST,
    "open_complaint": _BENCH,
    "decide_complaint": _PHARMACIST,
}
"""The posts that may do a verb. An administrator signs no clinical act; a reader only reads."""


OPEN_TO_ALL = ("keep_draft", "drop_draft", "keep_order_draft", "drop_order_draft")
"""What needs no signing in: nothing typed is lost where the desk locked itself meanwhile."""


def require(person: Person, verb: str) -> None:
    """Raise :class:`formulary.errors.Forbidden` unless the person's post may do the verb."""
    may = MAY[verb]
    if person.post not in may:
        posts = tuple(message(f"roles.post.{each.name.lower()}") for each in Post if each in may)
        raise Forbidden(
            message(
                "roles.may_not",
                person=person.name,
                post=message(f"roles.post.{person.post.name.lower()}"),
                what=message(f"roles.verb.{verb}"),
                posts=posts,
            )
        )
