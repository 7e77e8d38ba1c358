"""The house's wordings: what it says in a language, changed and approved for patients."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from formulary.canonical import content_hash
from formulary.catalogue import languages
from formulary.desk import Desk
from formulary.errors import Refusal
from formulary.house import House
from formulary.labels.content import LabelContent
from formulary.labels.wording import free_texts, typed_beside, wordings_beside, wordings_said
from formulary.messages import Message, message
from formulary.signing import Meaning, Signature
from formulary.store import Reading
from formulary.verbs.sign_in import signed
from formulary.wording.book import (
    FREE,
    Submitted,
    Wording,
    WordingBook,
    codes,
    with_approval,
    with_own,
    wording_of,
)
from formulary.wording.label_profile import label_profile
from formulary.wording.lint import lint, loud

LEAFLET = tuple(code for code in codes() if code.startswith("label.leaflet."))
"""The codes of what a leaflet says beside what the label says."""


@dataclass(frozen=True, slots=True)
class WordingSeen:
    """A wording as it is printed, whether it is the house's own, and who approved it."""

    wording: Wording
    is_own: bool
    by: Signature | None


def book_of(store: Reading, language: str) -> WordingBook:
    """Return the book of a language, an empty one where nothing was said yet.

    Raises :class:`formulary.errors.Refusal` for a language without label texts.
    """
    if language not in languages("label"):
        raise Refusal(message("label.no_language", language=language))
    return store.get(WordingBook, language) or WordingBook(language)


def wordings_in(store: Reading, language: str) -> tuple[WordingSeen, ...]:
    """Return everything that labels can say in a language, in the catalogue's order."""
    book = book_of(store, language)
    own, phrases = book.own_texts, phrases_in(store, language)
    signed_for = {text: each.by for each in book.approvals for text in each.texts}
    found = ((code, wording_of(book, code, phrases)) for code in codes())
    return tuple(WordingSeen(one, code in own, signed_for.get(one)) for code, one in found)


def phrases_in(store: Reading, language: str) -> Mapping[str, str]:
    """Return the phrases in a language that the house's rules for labels bring, by their codes."""
    houses = store.every(House)
    profile = label_profile(houses[0].label_profile if houses else "")
    return dict(profile.phrases_in(language))


def change_wording(desk: Desk, language: str, code: str, text: str) -> WordingBook:
    """Say something in the house's own words; it waits for approval then.

    Raises :class:`formulary.errors.BadText` as :func:`formulary.wording.book.with_own` does.
    """
    with desk.writing("change_wording") as writing:
        changed = with_own(book_of(writing, language), code, text)
        writing.tell(language=language, wording=code)
        return writing.put(changed)


def approve_wordings(desk: Desk, language: str, texts: Sequence[Wording], pin: str) -> WordingBook:
    """Approve wordings as they stand, by one signature over language, codes and texts.

    Raises :class:`formulary.errors.Refusal` for none at all, and for one that was changed since it
    was shown; :class:`formulary.errors.Forbidden` unless a pharmacist signs.
    """
    desk.may("approve_wordings")
    texts = tuple(sorted(set(texts)))
    phrases = phrases_in(desk.store, language)
    _require_as_shown(book_of(desk.store, language), texts, phrases)
    bound = content_hash(Submitted(language, texts), "submitted wordings")
    by = signed(desk, pin, Meaning.APPROVED, bound)
    with desk.writing("approve_wordings") as writing:
        approved = with_approval(book_of(writing, language), texts, by)
        writing.tell(language=language, wordings=len(texts), content=bound)
        return writing.put(approved)


def approve_all(desk: Desk, waiting: Iterable[Submitted], pin: str) -> tuple[WordingBook, ...]:
    """Approve what waits in several languages, each language by a signature of its own.

    Raises as :func:`approve_wordings` does.
    """
    return tuple(approve_wordings(desk, each.language, each.texts, pin) for each in waiting)


def held_back(
    store: Reading, content: LabelContent, house_language: str, also: Iterable[str] = ()
) -> tuple[Wording, ...]:
    """Return what of a label isn't approved for patients in its language.

    ``also`` are the codes of what is said beside it, on a leaflet. A sentence that somebody typed
    is fit in the house's label language unless something in it is easily misread; for any other
    language a pharmacist has to say so.
    """
    book = book_of(store, content.language)
    approved = book.approved
    phrases = dict(content.own)
    codes = sorted({*wordings_said(content), *also})
    said = [wording_of(book, code, phrases) for code in codes]
    typed = [
        Wording(FREE, text)
        for text in free_texts(content)
        if content.language != house_language or loud(lint(text, label=True))
    ]
    return tuple(each for each in (*said, *typed) if each not in approved)


def _held_back_beside(store: Reading, content: LabelContent) -> tuple[Wording, ...]:
    """Return what isn't approved of all that stands there in the second language."""
    if not content.beside:
        return ()
    book, own = book_of(store, content.beside), dict(content.beside_own)
    said = [wording_of(book, code, own) for code in sorted(wordings_beside(content))]
    typed = typed_beside(content)
    if loud(lint(typed, label=True)):
        said.append(Wording(FREE, typed.strip()))
    return tuple(each for each in said if each not in book.approved)


def waiting_on(
    store: Reading,
    contents: Iterable[LabelContent],
    house_language: str,
    also: Iterable[str] = (),
) -> tuple[Submitted, ...]:
    """Return all that isn't approved of labels, once for each language that they speak.

    A label in two languages waits for both. ``also`` as for :func:`held_back`.
    """
    also = tuple(also)
    found: dict[str, dict[Wording, None]] = {}
    for content in contents:
        waiting = held_back(store, content, house_language, also)
        found.setdefault(content.language, {}).update(dict.fromkeys(waiting))
        second = _held_back_beside(store, content)
        found.setdefault(content.beside, {}).update(dict.fromkeys(second))
    return tuple(Submitted(language, tuple(texts)) for language, texts in found.items() if texts)


def latin_on(content: LabelContent) -> tuple[Message, ...]:
    """Return a sentence for each of the trade's terms in what somebody typed for a label."""
    texts = (*free_texts(content), typed_beside(content))
    slips = (slip for text in texts for slip in lint(text, label=True))
    return tuple(slip.said for slip in slips if slip.rule == "latin")


def require_approved(
    store: Reading,
    contents: Iterable[LabelContent],
    house_language: str,
    also: Iterable[str] = (),
) -> None:
    """Raise :class:`formulary.errors.Refusal` for what no patient may be given to read yet.

    ``also`` as for :func:`held_back`.
    """
    for content in contents:
        latin = latin_on(content)
        if latin:
            raise Refusal(latin[0])
        waiting = held_back(store, content, house_language, also)
        if waiting:
            raise Refusal(waiting_said(waiting, content.language))
        second = _held_back_beside(store, content)
        if second:
            raise Refusal(waiting_said(second, content.beside))


def waiting_said(waiting: Sequence[Wording], language: str) -> Message:
    """Return the sentence about wordings that wait for approval; the first is quoted."""
    return message(
        "wording.not_approved",
        n=len(waiting),
        first=waiting[0].text.splitlines()[0],
        language=message(f"wording.language.{language}"),
    )


def _require_as_shown(
    book: WordingBook, texts: Sequence[Wording], phrases: Mapping[str, str]
) -> None:
    if not texts:
        raise Refusal(message("wording.nothing_chosen"))
    for each in texts:
        if each.code != FREE and wording_of(book, each.code, phrases) != each:
            raise Refusal(message("wording.changed_since", text=each.text))
