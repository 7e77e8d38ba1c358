"""Prescriptions as short as a test can say them, read with a small invented shelf."""

from __future__ import annotations

from formulary.catalogue import Catalogue
from formulary.ingredient import Ingredient
from formulary.messages import Message
from formulary.prescription.lines import Prescription, ReadLine, Sort
from formulary.prescription.reading import read


def _on_shelf(name: str, latin: str, *synonyms: str) -> Ingredient:
    return Ingredient(name.casefold(), name, latin, synonyms)


SHELF = (
    _on_shelf("Salicylic acid", "Acidum salicylicum", "Salicylsäure"),
    _on_shelf("Methyl salicylate", "Methylis salicylas"),
    _on_shelf("Zinc oxide", "Zinci oxidum"),
    _on_shelf("Talc", "Talcum"),
    _on_shelf("Urea", "Ureum"),
    _on_shelf("Hydrocortisone", "Hydrocortisonum"),
    _on_shelf("Paracetamol", "Paracetamolum"),
    _on_shelf("Hard fat", "Adeps solidus"),
    _on_shelf("Wool fat", "Adeps lanae"),
    _on_shelf("Lactose monohydrate", "Lactosum monohydricum"),
    _on_shelf("Glycerol", "Glycerolum", "Glycerin"),
    _on_shelf("Glycerol 85 %", "Glycerolum 85 per centum"),
    _on_shelf("Ethanol 70 %", "Ethanolum 70 per centum"),
    _on_shelf("Ethanol 96 %", "Ethanolum 96 per centum"),
    _on_shelf("Lactic acid 90 %", "Acidum lacticum"),
    _on_shelf("Sodium hydrogen carbonate", "Natrii hydrogenocarbonas"),
    _on_shelf("Sodium citrate", "Natrii citras"),
    _on_shelf("Magnesium oxide, heavy", "Magnesii oxidum ponderosum"),
    _on_shelf("Magnesium oxide, light", "Magnesii oxidum leve"),
    _on_shelf("Purified water", "Aqua purificata"),
    _on_shelf("White soft paraffin", "Vaselinum album"),
    _on_shelf("Yellow soft paraffin", "Vaselinum flavum"),
    _on_shelf("Peppermint oil", "Menthae piperitae aetheroleum"),
    _on_shelf("Syrup", "Sirupus simplex"),
    _on_shelf("Citric acid monohydrate", "Acidum citricum monohydricum"),
)

OINTMENT = """Rp.
Acidi salicylici 2,0
Vaselini albi ad 100,0
M.f. ungt.
D.S. Twice a day on the heels."""


def of(*lines: str, decimal_sign: str = ",") -> Prescription:
    """Return these lines as read in a house that writes commas."""
    return read("\n".join(lines), SHELF, decimal_sign)


def ingredients(prescription: Prescription) -> list[ReadLine]:
    """Return the lines read as ingredients."""
    return [line for line in prescription.lines if line.sort is Sort.INGREDIENT]


def quantities(prescription: Prescription) -> list[str]:
    """Return the quantities proposed, in order."""
    return [line.quantity for line in ingredients(prescription)]


def keys(said: tuple[Message, ...]) -> list[str]:
    """Return the last part of each message's key, having said each."""
    assert all(text(each) for each in said)
    return [each.key.rpartition(".")[2] for each in said]


def text(said: Message) -> str:
    """Return a message in English."""
    return Catalogue().text(said)
