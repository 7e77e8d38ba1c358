"""Make rules of the house for how long things last: a pharmacist signs them."""

from __future__ import annotations

from dataclasses import replace

from formulary.canonical import content_hash
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import House
from formulary.messages import message
from formulary.shelf_life.house_rules import DraftRules, HouseRules
from formulary.signing import Meaning
from formulary.verbs.sign_in import signed


def sign_house_rules(desk: Desk, rules: DraftRules, pin: str) -> House:
    """Keep these as the house's own rules, from today on, and return the house.

    Earlier dates stay as they are. Raises :class:`formulary.errors.Refusal` for no limit and for
    one without a source, and :class:`formulary.errors.Forbidden` for a wrong PIN.
    """
    desk.may("sign_house_rules")
    if not rules.limits:
        raise Refusal(message("verbs.house_rules_empty"))
    for limit in rules.limits:
        if not limit.name.strip() or not limit.source.strip():
            raise Refusal(message("verbs.house_rule_unsourced", name=limit.name or "?"))
    by = signed(desk, pin, Meaning.RULED, content_hash(rules, "house rules"))
    with desk.writing("sign_house_rules") as writing:
        house = writing.every(House)[0]
        writing.tell(signed=by.meaning.value, content=by.content_hash)
        return writing.put(replace(house, house_rules=HouseRules(rules, by)))
