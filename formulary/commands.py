"""What each command does: a verb called with the arguments, its answer as data and as lines.

What is heavy to load is imported by the command that needs it.
"""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from pathlib import Path

from formulary import command_texts, opening
from formulary.catalogue import Catalogue
from formulary.command_desk import (
    Answer,
    acting_desk,
    catalogue_of,
    formulary_there,
    named_desk,
    reading_desk,
)
from formulary.command_formulas import MOST_HITS, export_formula, find, import_formula, scale_, show
from formulary.command_preparing import label, prepare
from formulary.errors import WrongUsage
from formulary.exchange.sample_house import sample_pins
from formulary.messages import message
from formulary.verbs.keep_calculation import keep_calculation


def sample(options: Namespace) -> Answer:
    """Make the sample pharmacy at a path, with two months of work unless it stays untouched."""
    location = options.path or options.formulary or opening.default_location()
    desk = opening.create_sample(location, worked=not options.untouched)
    try:
        hits = desk.store.find_formulas("", limit=MOST_HITS)
        house, catalogue = desk.house, catalogue_of(desk)
    finally:
        desk.store.close()
    people = sample_pins()
    data = {
        "path": str(location),
        "house": house.name,
        "formulas": len(hits),
        "people": [{"name": name, "post": post.value, "pin": pin} for name, post, pin in people],
    }
    said = message("command.sample.done", house=house.name, n=len(hits), place=str(location))
    return Answer(data, [catalogue.text(said), *command_texts.pins(people, catalogue)])


def calculate(options: Namespace) -> Answer:
    """Do one of the trade's sums, in the house's decimal sign where there is a formulary."""
    from formulary.command_calculate import asked, pairs

    if not options.keep_with and not formulary_there(options):
        return Answer(*asked(options, Catalogue()))
    with acting_desk(options) if options.keep_with else reading_desk(options) as desk:
        catalogue = catalogue_of(desk)
        data, lines = asked(options, catalogue)
        if options.keep_with and not options.describe:
            given = pairs(options.inputs)
            kept = keep_calculation(desk, options.name, given, options.keep_with, options.note)
            data["kept_with"] = options.keep_with
            said = message("command.calculate.kept", title=kept.title, what=options.keep_with)
            lines.append(catalogue.text(said))
    return Answer(data, lines)


def makegood(options: Namespace) -> Answer:
    """Scale a batch up to its most overweighed line; the lines come from standard input."""
    from formulary.command_makegood import asked

    if not formulary_there(options):
        return Answer(*asked(Catalogue()))
    with reading_desk(options) as desk:
        catalogue = catalogue_of(desk)
    return Answer(*asked(catalogue))


def stock(options: Namespace) -> Answer:
    """List what is on the shelf."""
    from formulary.command_stock import asked

    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def trace(options: Namespace) -> Answer:
    """Say what a lot, container or jar went into, and what it came from."""
    from formulary.command_stock import traced

    with reading_desk(options) as desk:
        return Answer(*traced(desk, options, catalogue_of(desk)))


def balance(options: Namespace) -> Answer:
    """List balances and ports, or read one balance."""
    from formulary.command_balance import asked

    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def register(options: Namespace) -> Answer:
    """List what was made, newest first."""
    from formulary.command_register import asked

    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def history(options: Namespace) -> Answer:
    """Say what happened to a record."""
    from formulary.command_history import asked

    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def worksheet(options: Namespace) -> Answer:
    """Write worksheets of a formula or of a lot as a PDF."""
    from formulary.command_worksheet import asked

    with acting_desk(options) if options.blanks else named_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def paper(options: Namespace) -> Answer:
    """Write a paper as a PDF."""
    from formulary.command_paper import asked

    with named_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def dossier(options: Namespace) -> Answer:
    """List a formula's dossier, keep a file with it, or give one back."""
    from formulary.command_dossier import asked

    with acting_desk(options) if options.add else reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def layout(options: Namespace) -> Answer:
    """List the house's layouts of labels, write one out, read one in, or put one in use."""
    from formulary.command_layout import asked

    acts = options.file or options.use or options.end or options.begin
    with acting_desk(options) if acts else reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def transcribe(options: Namespace) -> Answer:
    """Enter a blank that was written on paper."""
    from formulary.command_pin import pin_of
    from formulary.command_transcribe import asked

    with acting_desk(options) as desk:
        pin = pin_of(desk.person.name)
        return Answer(*asked(desk, options, pin, catalogue_of(desk)))


def equipment(options: Namespace) -> Answer:
    """Write in the log of equipment and room, or list it."""
    from formulary.command_equipment import noted

    with reading_desk(options) if options.what is None else acting_desk(options) as desk:
        return Answer(*noted(desk, options, catalogue_of(desk)))


def reconstitute(options: Namespace) -> Answer:
    """Keep that a marketed product was made up by its label, or list what was."""
    from formulary.command_equipment import made

    with reading_desk(options) if options.product is None else acting_desk(options) as desk:
        return Answer(*made(desk, options, catalogue_of(desk)))


def order(options: Namespace) -> Answer:
    """Read a prescription line by line; nothing is kept."""
    from formulary.command_order import asked

    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def shelf_life(options: Namespace) -> Answer:
    """Say how long a formula lasts and what bounds it."""
    from formulary.command_shelf_life import asked

    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def review(options: Namespace) -> Answer:
    """Say what the review finds in a formula, and which reasons were given."""
    from formulary.command_review import asked, asked_of_file

    if options.file and not formulary_there(options):
        return Answer(*asked_of_file(options, Catalogue()))
    with reading_desk(options) as desk:
        return Answer(*asked(desk, options, catalogue_of(desk)))


def verify(options: Namespace) -> Answer:
    """Check that all that is kept is what was kept."""
    from formulary.command_keeping import verified

    return verified(options)


def backup(options: Namespace) -> Answer:
    """Make a backup, or list those there are."""
    from formulary.command_keeping import backed_up

    return backed_up(options)


def restore(options: Namespace) -> Answer:
    """Look into a backup, or put it in the formulary's place."""
    from formulary.command_keeping import restored

    return restored(options)


def erase(options: Namespace) -> Answer:
    """Erase names whose time has ended."""
    from formulary.command_keeping import erased

    return erased(options)


def import_(options: Namespace) -> Answer:
    """Keep formula files as drafts, take a table over, or read a whole house."""
    if options.template:
        from formulary.command_taking_over import write_template

        return write_template(options)
    if not options.file:
        raise WrongUsage(message("command.import.no_file"))
    if options.everything:
        from formulary.command_carrying import imported

        return imported(options)
    if options.ingredients or options.lots:
        from formulary.command_taking_over import import_table

        return import_table(options)
    if options.look or Path(options.file).is_dir():
        from formulary.command_taking_over import import_folder

        return import_folder(options)
    return import_formula(options)


def export(options: Namespace) -> Answer:
    """Write a formula as a formula file, each of them or all that is kept into a folder."""
    if options.formulas:
        from formulary.command_taking_over import export_formulas

        return export_formulas(options)
    if options.everything:
        from formulary.command_carrying import exported

        return exported(options)
    return export_formula(options)


def move(options: Namespace) -> Answer:
    """Carry the formulary to another file or server."""
    from formulary.command_carrying import moved

    return moved(options)


def grant(options: Namespace) -> Answer:
    """Let a role of a server work in the formulary there."""
    from formulary.command_carrying import granted

    return granted(options)


def lock_names(options: Namespace) -> Answer:
    """Put the names of people under a key."""
    from formulary.command_names import names_locked

    return names_locked(options)


def names_key(options: Namespace) -> Answer:
    """Say which key names are under, write a copy of it, or take one over."""
    from formulary.command_names import names_key as asked

    return asked(options)


def licences(options: Namespace) -> Answer:
    """List the libraries that the program stands on, with their licences."""
    from formulary.command_licences import licences as listed

    return listed(options)


RUN: dict[str, Callable[[Namespace], Answer]] = {
    "find": find,
    "show": show,
    "scale": scale_,
    "prepare": prepare,
    "label": label,
    "import": import_,
    "export": export,
    "sample": sample,
    "calculate": calculate,
    "makegood": makegood,
    "stock": stock,
    "trace": trace,
    "order": order,
    "balance": balance,
    "register": register,
    "history": history,
    "worksheet": worksheet,
    "paper": paper,
    "dossier": dossier,
    "layout": layout,
    "shelf-life": shelf_life,
    "review": review,
    "transcribe": transcribe,
    "equipment": equipment,
    "reconstitute": reconstitute,
    "verify": verify,
    "backup": backup,
    "restore": restore,
    "erase": erase,
    "move": move,
    "grant": grant,
    "licences": licences,
    "lock-names": lock_names,
    "names-key": names_key,
}
