"""The verbs without a window: ``misce find``, ``scale``, ``prepare``, ``label`` and so on."""

from __future__ import annotations

import argparse
import io
import json
import logging
import os
import sys
from collections.abc import Sequence
from typing import Any

from formulary import commands, starting
from formulary.catalogue import Catalogue
from formulary.command_desk import Answer
from formulary.dossier import DossierKind
from formulary.errors import BadText, FormularyError
from formulary.log import log_to_file
from formulary.messages import Message, message

DONE, REFUSED, WRONG_USAGE = 0, 1, 2
ENGLISH = Catalogue()
MOST_SECONDS = 3600


def main(argv: Sequence[str] | None = None) -> int:
    """Do what the arguments say: 0 done, 1 refused with a sentence, 2 wrong usage.

    Without a command the window is started, as a process of its own.
    """
    arguments = list(sys.argv[1:] if argv is None else argv)
    _spare_what_a_terminal_lacks()
    if starting.wants_window(arguments):
        return starting.start_window(arguments)
    try:
        options = _parsed(arguments)
    except SystemExit as stop:
        return WRONG_USAGE if stop.code else DONE
    try:
        answer = commands.RUN[options.command](options)
    except FormularyError as error:
        print(sentence(error), file=sys.stderr)
        return error.exit_code
    except Exception:  # the last resort: a sentence for the person, the rest in the log
        log = log_to_file()
        logging.getLogger("misce").exception("command %s failed", options.command)
        print(ENGLISH.text(message("command.failed", log=str(log))), file=sys.stderr)
        return REFUSED
    _print(answer, as_json=options.json)
    return answer.code


def _spare_what_a_terminal_lacks() -> None:
    """Let letters that the terminal or a file's encoding lacks become question marks."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _print(answer: Answer, *, as_json: bool) -> None:
    try:
        print(_json(answer.data) if as_json else "\n".join(answer.lines), flush=True)
    except BrokenPipeError:
        # Whoever read has seen enough, such as "head"; at its end Python would write once more.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _json(data: object) -> str:
    """Return JSON whose letters are escaped where the output couldn't carry them all."""
    carries_all = (sys.stdout.encoding or "").casefold().startswith("utf")
    return json.dumps(data, ensure_ascii=not carries_all, indent=2)


def sentence(error: FormularyError, catalogue: Catalogue = ENGLISH) -> str:
    """Return what an error says, with line and field where it knows them."""
    return catalogue.text(_placed(error))


def _placed(error: FormularyError) -> Message:
    if not isinstance(error, BadText):
        return error.message
    where: dict[str, str | int] = {}
    if error.line is not None:
        where["line"] = error.line
    if error.field is not None:
        where["field"] = _counted_from_one(error.field)
    if not where:
        return error.message
    key = "line_and_field" if len(where) > 1 else f"{next(iter(where))}_only"
    return message(f"formula.file.{key}", sentence=error.message, **where)


def _counted_from_one(place: str) -> str:
    """Return ``ingredient.0.quantity`` as people count: ``ingredient 1, quantity``."""
    words = ""
    for part in place.split("."):
        words += f" {int(part) + 1}" if part.isdecimal() else f", {part}" if words else part
    return words


def _parsed(arguments: list[str]) -> argparse.Namespace:
    """Return the options; words behind an option belong to the list that the command takes."""
    parser = _parser()
    options, rest = parser.parse_known_args(arguments)
    words: list[str] | None = getattr(options, _LISTS.get(options.command, ""), None)
    if rest and (words is None or any(word.startswith("-") for word in rest)):
        parser.error(ENGLISH.text(message("command.unknown_arguments", words=" ".join(rest))))
    if words is not None:
        words.extend(rest)
    return options


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="misce", description=_said("about"))
    verbs = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    common = _common()
    for name, add in _COMMANDS.items():
        text = _said(f"{name.replace('-', '_')}.about")
        own_help = name in _OWN_HELP
        add(
            verbs.add_parser(
                name, parents=[common], help=text, description=text, add_help=not own_help
            )
        )
    return parser


def _said(key: str) -> str:
    return ENGLISH.text(f"command.{key}").replace("%", "%%")


def _common() -> argparse.ArgumentParser:
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument("--json", action="store_true", help=_said("option.json"))
    common.add_argument("--formulary", metavar="PATH-or-URL", help=_said("option.formulary"))
    common.add_argument(
        "--as", dest="person", metavar="PERSON", default="", help=_said("option.as")
    )
    return common


def _formula(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("formula", nargs="?", metavar="FORMULA", help=_said("option.formula"))
    which.add_argument("--file", metavar="F", help=_said("option.file"))


def _show(parser: argparse.ArgumentParser) -> None:
    _formula(parser)
    parser.add_argument(
        "--difference", nargs="?", const="", metavar="VERSIONS", help=_said("option.difference")
    )


def _target(parser: argparse.ArgumentParser, *, required: bool = True) -> None:
    parser.add_argument("--to", required=required, metavar="TARGET", help=_said("option.to"))
    parser.add_argument("--excess", default="", metavar="EXCESS", help=_said("option.excess"))


def _lots(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--lot", action="append", default=[], metavar="LOT", help=_said("option.lot")
    )


def _find(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("text", nargs="+", metavar="TEXT", help=_said("option.text"))


def _scale(parser: argparse.ArgumentParser) -> None:
    _formula(parser)
    _target(parser)
    _lots(parser)


def _prepare(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("formula", metavar="FORMULA", help=_said("option.formula"))
    _target(parser)
    _lots(parser)
    parser.add_argument("--directions", default="", metavar="TEXT", help=_said("option.directions"))


def _label(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    what = _said("option.what")
    which.add_argument("what", nargs="*", default=(), metavar="LOT-or-FORMULA", help=what)
    which.add_argument("--file", metavar="F", help=_said("option.file"))
    which.add_argument("--calibrate", action="store_true", help=_said("option.calibrate"))
    _target(parser, required=False)
    parser.add_argument("--start", type=int, default=1, metavar="N", help=_said("option.start"))
    ways = ("second-label", "leaflet")
    parser.add_argument("--overflow", choices=ways, default="", help=_said("option.overflow"))
    parser.add_argument("--reason", default="", metavar="TEXT", help=_said("option.why_again"))
    awaiting = _said("option.awaiting")
    parser.add_argument("--awaiting-release", action="store_true", help=awaiting)
    parser.add_argument("--trial", action="store_true", help=_said("option.trial"))
    parser.add_argument("--stock", default="", metavar="SIZE", help=_said("option.stock"))
    parser.add_argument("--out", metavar="FILE", help=_said("option.out"))
    parser.add_argument("--language", default="", metavar="LANGUAGE", help=_said("option.language"))
    parser.add_argument("--printer", default="", metavar="NAME", help=_said("option.printer"))


def _import(parser: argparse.ArgumentParser) -> None:
    metavar = "FILE-or-FOLDER"
    parser.add_argument("file", nargs="?", metavar=metavar, help=_said("option.import_file"))
    parser.add_argument("--reason", default="", metavar="TEXT", help=_said("option.reason"))
    parser.add_argument("--look", action="store_true", help=_said("option.import_look"))
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--everything", action="store_true", help=_said("option.import_everything"))
    for name in ("ingredients", "lots"):
        what.add_argument(f"--{name}", action="store_true", help=_said(f"option.import_{name}"))
    parser.add_argument("--template", metavar="OUT", help=_said("option.template"))


def _export(parser: argparse.ArgumentParser) -> None:
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("formula", nargs="?", metavar="FORMULA", help=_said("option.formula"))
    what.add_argument("--formulas", action="store_true", help=_said("option.export_formulas"))
    what.add_argument("--everything", action="store_true", help=_said("option.export_everything"))
    parser.add_argument("--out", metavar="FILE-or-FOLDER", help=_said("option.export_out"))


def _move(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--to", required=True, metavar="PATH-or-URL", help=_said("option.move_to"))


def _grant(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("role", metavar="ROLE", help=_said("option.role"))


def _nothing_more(_parser: argparse.ArgumentParser) -> None:
    """Take nothing but what every command takes."""


def _sample(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("path", nargs="?", metavar="PATH", help=_said("option.path"))
    parser.add_argument("--untouched", action="store_true", help=_said("option.untouched"))


def _calculate(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", nargs="?", metavar="NAME", help=_said("option.name"))
    parser.add_argument("inputs", nargs="*", metavar="KEY=VALUE", help=_said("option.inputs"))
    parser.add_argument("--list", action="store_true", help=_said("option.list"))
    parser.add_argument(
        "-h", "--help", action=_HelpOnOne, dest="describe", help=_said("option.describe")
    )
    parser.add_argument(
        "--keep-with", default="", metavar="LOT-or-FORMULA", help=_said("option.keep_with")
    )
    parser.add_argument("--note", default="", metavar="TEXT", help=_said("option.note"))


class _HelpOnOne(argparse.Action):
    """Help on the calculation that is named before it, or on the command where none is."""

    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:  # noqa: ANN401  argparse's own
        super().__init__(option_strings, dest, nargs=0, default=False, **more)

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        *_: object,
    ) -> None:
        """Note that help is wanted, or print the command's and end."""
        if not namespace.name:
            parser.print_help()
            parser.exit()
        setattr(namespace, self.dest, True)


def _makegood(parser: argparse.ArgumentParser) -> None:
    parser.epilog = _said("makegood.input")


def _stock(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--expiring", type=int, metavar="DAYS", help=_said("option.expiring"))
    which.add_argument("--low", action="store_true", help=_said("option.low"))
    which.add_argument("--controlled", action="store_true", help=_said("option.controlled"))


def _trace(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("lot", metavar="LOT", help=_said("option.traced"))


def _balance(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("--list", action="store_true", help=_said("option.balance_list"))
    which.add_argument("--read", metavar="NAME", help=_said("option.balance_read"))
    parser.add_argument(
        "--within", type=_seconds, default=30, metavar="SECONDS", help=_said("option.within")
    )


def _seconds(text: str) -> int:
    """Return a number of seconds to wait; argparse says a ValueError as wrong usage."""
    if not 1 <= (seconds := int(text)) <= MOST_SECONDS:
        raise ValueError(text)
    return seconds


def _register(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("text", nargs="*", metavar="TEXT", help=_said("option.register_text"))
    parser.add_argument("--state", default="", metavar="STATE", help=_said("option.state"))


def _history(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("record", metavar="RECORD", help=_said("option.record"))
    parser.add_argument("--words", default="", metavar="WORDS", help=_said("option.history_words"))
    parser.add_argument("--out", metavar="FILE", help=_said("option.paper_out"))


def _worksheet(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("formula", nargs="?", metavar="FORMULA", help=_said("option.formula"))
    which.add_argument("--lot", metavar="LOT", help=_said("option.worksheet_lot"))
    _target(parser, required=False)
    parser.add_argument("--out", metavar="FILE", help=_said("option.worksheet_out"))
    parser.add_argument(
        "--blanks", type=int, default=0, metavar="COUNT", help=_said("option.blanks")
    )
    parser.add_argument("--reason", default="", metavar="TEXT", help=_said("option.blank_reason"))


def _paper(parser: argparse.ArgumentParser) -> None:
    papers = ("formula", "record", "leaflet", "labels", "stock", "pack")
    parser.add_argument("paper", choices=papers, help=_said("option.paper"))
    parser.add_argument("subject", nargs="?", metavar="OF", help=_said("option.paper_of"))
    parser.add_argument(
        "--language", default="", metavar="CODE", help=_said("option.paper_language")
    )
    for name in ("first", "last"):
        parser.add_argument(
            f"--{name}", default="", metavar="DAY", help=_said(f"option.paper_{name}")
        )
    parser.add_argument("--out", metavar="FILE", help=_said("option.paper_out"))


def _dossier(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("formula", metavar="FORMULA", help=_said("option.formula"))
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--add", metavar="FILE", help=_said("option.dossier_add"))
    which.add_argument("--save", type=int, metavar="NUMBER", help=_said("option.dossier_save"))
    kinds = [each.value for each in DossierKind if each is not DossierKind.SAMPLE_LABEL]
    parser.add_argument("--kind", choices=kinds, default="other", help=_said("option.dossier_kind"))
    parser.add_argument("--title", default="", metavar="TEXT", help=_said("option.dossier_title"))
    parser.add_argument("--out", metavar="FILE", help=_said("option.dossier_out"))


def _layout(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("stock", nargs="?", metavar="STOCK", help=_said("option.layout_stock"))
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--file", metavar="FILE", help=_said("option.layout_file"))
    which.add_argument("--out", metavar="FILE", help=_said("option.layout_out"))
    for name in ("begin", "use", "end"):
        which.add_argument(f"--{name}", action="store_true", help=_said(f"option.layout_{name}"))


def _transcribe(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("lot", metavar="LOT", help=_said("option.worksheet_lot"))
    parser.add_argument("--made", default="", metavar="DAY", help=_said("option.paper_made"))
    parser.add_argument("--note", default="", metavar="TEXT", help=_said("option.paper_note"))


def _equipment(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "what",
        nargs="?",
        choices=("cleaned", "read", "faulty", "mended", "calibrated"),
        help=_said("option.equipment_what"),
    )
    parser.add_argument("--of", dest="subject", default="", metavar="NAME", help=_said("option.of"))
    for name in ("degrees", "humidity", "note"):
        parser.add_argument(f"--{name}", default="", help=_said(f"option.equipment_{name}"))


def _reconstitute(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("product", nargs="?", metavar="PRODUCT", help=_said("option.product"))
    for name in (
        "maker-lot",
        "expiry",
        "diluent",
        "volume",
        "use-by",
        "by-label",
        "strength",
        "order",
    ):
        key = name.replace("-", "_")
        parser.add_argument(f"--{name}", default="", help=_said(f"option.made_up_{key}"))


def _order(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--file", required=True, metavar="F", help=_said("option.prescription"))


def _shelf_life(parser: argparse.ArgumentParser) -> None:
    _formula(parser)
    parser.add_argument("--made", default="", metavar="DATE", help=_said("option.made"))


def _verify(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--head", action="append", default=[], metavar="ENTRY:HASH", help=_said("option.head")
    )
    parser.add_argument("--mend", action="store_true", help=_said("option.mend"))
    _backup_folder(parser)


def _backup(parser: argparse.ArgumentParser) -> None:
    _backup_folder(parser)
    parser.add_argument("--list", action="store_true", help=_said("option.backup_list"))
    parser.add_argument("--locked", action="store_true", help=_said("option.locked"))


def _backup_folder(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--folder", metavar="FOLDER", help=_said("option.backup_folder"))


def _restore(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("backup", metavar="BACKUP", help=_said("option.backup"))
    parser.add_argument("--look", action="store_true", help=_said("option.look"))


def _erase(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--order", default="", metavar="NUMBER", help=_said("option.erase_order"))
    parser.add_argument("--look", action="store_true", help=_said("option.erase_look"))


def _lock_names(_parser: argparse.ArgumentParser) -> None:
    """Ask nothing more."""


def _names_key(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--save", default="", metavar="FILE", help=_said("option.key_save"))
    parser.add_argument("--take", default="", metavar="FILE", help=_said("option.key_take"))


_LISTS = {"find": "text", "calculate": "inputs", "register": "text"}
"""The commands that take a list of words, and what it is called."""

_OWN_HELP = ("calculate",)
"""The commands whose help may be about one thing that they can do."""

_COMMANDS = {
    "find": _find,
    "show": _show,
    "scale": _scale,
    "prepare": _prepare,
    "label": _label,
    "import": _import,
    "export": _export,
    "sample": _sample,
    "calculate": _calculate,
    "makegood": _makegood,
    "stock": _stock,
    "trace": _trace,
    "order": _order,
    "balance": _balance,
    "register": _register,
    "history": _history,
    "worksheet": _worksheet,
    "paper": _paper,
    "dossier": _dossier,
    "layout": _layout,
    "shelf-life": _shelf_life,
    "review": _formula,
    "transcribe": _transcribe,
    "equipment": _equipment,
    "reconstitute": _reconstitute,
    "verify": _verify,
    "backup": _backup,
    "restore": _restore,
    "erase": _erase,
    "move": _move,
    "grant": _grant,
    "licences": _nothing_more,
    "lock-names": _lock_names,
    "names-key": _names_key,
}


if __name__ == "__main__":
    sys.exit(main())
