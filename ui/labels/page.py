"""The page *Labels*: what is labelled on the left, the label at true size beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from formulary.errors import FormularyError
from formulary.house import Printer
from formulary.labels.stock import LabelStock
from formulary.messages import Parameter, message
from formulary.preparation import LabelPrint
from formulary.verbs.stocks_of_house import stocks_of
from formulary.verbs.wordings import approve_all, waiting_said
from formulary.wording.book import Submitted
from formulary.wording.reading import to_read
from ui import theme
from ui.context import Context, Topic, Trial
from ui.files import PDF, ask_to_save
from ui.forms.days import today
from ui.forms.leaf import leaf
from ui.labels.calibration import print_calibration, write_calibration
from ui.labels.chooser import Chooser
from ui.labels.delivery import issue, keep_address, to_file, to_printer, write_file
from ui.labels.order_panel import OrderPanel, panel_width
from ui.labels.preview_panel import PreviewPanel
from ui.labels.proof import Proof, Wanted, prove
from ui.labels.queues import printers_here
from ui.labels.subject import Address, Subject, of_lot, of_trial
from ui.papers.paper import Destination, into_file, onto
from ui.papers.paper_file import save_paper
from ui.widgets.words import action, button, label, set_role, spaced

if TYPE_CHECKING:
    from formulary.desk import Desk
    from formulary.papers.every_paper import Paper

NARROW = 860


class LabelsPage(QWidget):
    """Labels a started preparation or a trial; without either it offers those started last."""

    help_page = "labels"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._wanted: str | Trial | None = None
        self._subject: Subject | None = None
        self._count = 1
        self._waiting: tuple[Submitted, ...] = ()
        # What was typed and not kept yet, by lot; in memory alone, since it names people.
        self._typed: dict[str, Address] = {}
        # The lots that are printed in one run with the one on screen, before it.
        self._run: tuple[str, ...] = ()
        self.chooser = Chooser(context)
        self.order = OrderPanel(context)
        self.preview = PreviewPanel(context)
        self.issues = label(context.text("ui_labels.issues"), "note")
        self._make_actions()
        self._lay_out()
        self._connect()
        self.approve.setVisible(False)
        self._show_actions(drawable=False)

    def take(self, subject: object) -> None:
        """Show the labels of a lot, or a trial's."""
        if isinstance(subject, str | Trial):
            self._remember()
            self._wanted = subject
            self.preview.start_over()

    def record_in_view(self) -> str:
        """Return the lot whose labels are in view, nothing for a trial."""
        return self._wanted if isinstance(self._wanted, str) else ""

    def shown(self) -> None:
        """Read what is labelled anew; the accent button gets the focus."""
        self.order.take_house()
        self._ask_printers()
        self._ask_stocks(self.order.show_stocks)
        self._load()

    def _ask_stocks(self, then: Callable[[tuple[LabelStock, ...]], None]) -> None:
        self._context.do(lambda desk: stocks_of(desk.store), then, lane="labels.stocks")

    def _heard(self, topic: str) -> None:
        """Show at once how labels are laid out once the house lays them out otherwise."""
        if topic == Topic.HOUSE.value and self.isVisible():
            self._ask_stocks(self._laid_out_anew)

    def _laid_out_anew(self, stocks: tuple[LabelStock, ...]) -> None:
        self.order.show_stocks(stocks)
        self._redraw()

    def _make_actions(self) -> None:
        text = self._context.text
        self.print_labels = action(self, text("ui_labels.print", n=1), "Ctrl+P", self._print)
        # Has the key where nothing can be printed.
        self.say_why = action(self, text("ui_labels.say_why"), "Ctrl+P", self._say_why)
        self.save_pdf = action(self, text("ui_labels.save_pdf"), "Ctrl+E", self._ask_file)
        self.keep_for_later = action(self, text("ui_labels.keep"), "Ctrl+S", self._keep)
        self.approve = action(self, text("ui_labels.approve"), "Ctrl+Shift+I", self._approve)
        self.add_to_run = action(self, text("ui_labels.add_to_run"), "Ctrl+R", self._add_to_run)
        self.calibrate = action(self, text("ui_labels.calibrate"), "", self._calibrate)
        self.leaflet = action(self, text("ui_labels.leaflet"), "Ctrl+Shift+P", self._save_leaflet)
        self.choose_other = action(self, text("ui_labels.choose_other"), "", self._choose_other)
        action(self, text("ui_labels.choose_other"), "Esc", self._step_back)
        # Its key works wherever the focus is on the page.
        self.order.removeAction(self.order.build)
        self.addAction(self.order.build)
        self._print_button = button(self.print_labels, accent=True)
        self._save_button = button(self.save_pdf)
        for each in (self._print_button, self._save_button):
            each.setAutoDefault(True)

    def _lay_out(self) -> None:
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.chooser)
        work = QWidget()
        self._work = QBoxLayout(QBoxLayout.Direction.LeftToRight, work)
        spaced(self._work, inside=0)
        self._left = self._left_side()
        self._work.addWidget(self._left)
        self._work.addWidget(self.preview, 1)
        self._leaf = leaf(work)
        self._stack.addWidget(self._leaf)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the preview below where there is no room beside."""
        super().resizeEvent(event)
        width = event.size().width()
        narrow = width < theme.px(NARROW)
        ways = QBoxLayout.Direction
        self._work.setDirection(ways.TopToBottom if narrow else ways.LeftToRight)
        self._left.setMinimumWidth(0 if narrow else panel_width())
        self._left.setMaximumWidth(width if narrow else panel_width())
        self.order.show_whole(narrow)
        self.preview.show_whole(narrow)

    def _left_side(self) -> QWidget:
        left = QWidget()
        left.setObjectName("index")
        left.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        buttons = QWidget()
        grid = QGridLayout(buttons)
        spaced(grid, inside=8, around=16)
        self._approve_button = button(self.approve)
        others = (
            button(self.keep_for_later),
            button(self.add_to_run),
            button(self.leaflet),
            button(self.choose_other, keys="Esc"),
        )
        grid.addWidget(self.issues, 0, 0, 1, 2)
        grid.addWidget(self._print_button, 1, 0, 1, 2)
        for place, each in enumerate((self._save_button, *others), 4):
            grid.addWidget(each, place // 2, place % 2)
        grid.addWidget(self._approve_button, 7, 0, 1, 2)
        box = QVBoxLayout(left)
        spaced(box, inside=0)
        box.addWidget(self.order, 1)
        box.addWidget(buttons)
        return left

    def _connect(self) -> None:
        self._context.changed.connect(self._heard)
        self.chooser.chosen.connect(self._choose)
        self.order.changed.connect(self._changed)
        self.order.calibration_wanted.connect(self._calibrate)
        self.order.entered.connect(self._focus_accent)
        self.preview.redraw_wanted.connect(self._redraw)
        self.preview.stock_wanted.connect(self.order.choose_stock)
        self.preview.way_wanted.connect(self.order.choose_overflow)

    def _choose(self, lot: str) -> None:
        self.take(lot)
        self._load()

    def _step_back(self) -> None:
        """Esc: put the directions' parts away, else offer the preparations started last."""
        if self.order.builder.isVisible():
            self.order.builder.back.trigger()
        else:
            self._choose_other()

    def _choose_other(self) -> None:
        self._remember()
        self._wanted = self._subject = None
        self._load()

    def _load(self) -> None:
        wanted = self._wanted
        if wanted is None:
            self._stack.setCurrentIndex(0)
            self.chooser.reload()
        elif isinstance(wanted, Trial):
            self._context.do(
                lambda desk: of_trial(desk, wanted),
                self._arrived,
                failed=self._lost,
                lane="labels.subject",
            )
        else:
            self._context.do(
                lambda desk: of_lot(desk, wanted),
                self._arrived,
                failed=self._lost,
                lane="labels.subject",
            )

    def _lost(self, error: FormularyError) -> None:
        self._context.say.refuse(error)
        self._choose_other()

    def _arrived(self, subject: Subject) -> None:
        if self._subject is None or self._subject.lot != subject.lot:
            self.preview.show_nothing()
        self._subject = subject
        said = self._typed.get(subject.lot) if subject.addressable else None
        self.order.show_subject(subject, said or subject.address, today(self._context))
        self._stack.setCurrentIndex(1)
        self._show_actions(drawable=True)
        if self.isVisible():
            self._focus_accent()
        self._redraw()

    def _remember(self) -> None:
        if self._subject is not None and self._subject.addressable:
            self._typed[self._subject.lot] = self.order.said()

    def _ask_printers(self) -> None:
        house = self._context.house
        self._context.operations.start(
            lambda: printers_here(house), self._printers_arrived, lane="labels.printers"
        )

    def _printers_arrived(self, printers: tuple[Printer, ...]) -> None:
        before = self.order.chosen_printer()
        focus_was_on_accent = self._accent().hasFocus()
        self.order.show_printers(printers)
        self._show_actions(drawable=self.save_pdf.isEnabled())
        if focus_was_on_accent:
            self._focus_accent()
        if self.order.chosen_printer() != before:
            self._redraw()

    def _changed(self) -> None:
        self._remember()
        self._redraw()

    def _redraw(self) -> None:
        wanted = self._to_draw()
        if wanted is not None:
            self._context.do(
                lambda desk: prove(desk, wanted),
                self._proved,
                failed=self._not_drawn,
                lane="labels.proof",
            )

    def _to_draw(self) -> Wanted | None:
        if self._subject is None:
            return None
        return Wanted(
            subject=self._subject,
            address=self.order.said(),
            stock=self.order.chosen_stock(),
            printer=self.order.chosen_printer(),
            language=self.order.chosen_language(),
            page=self.preview.page,
            dots_per_inch=self.preview.dots_per_inch,
            reason=self.order.reason.text().strip(),
            overflow=self.order.chosen_overflow(),
            start=self.order.first_place(),
            awaiting=self.order.awaiting.isChecked(),
            run=tuple(lot for lot in self._run if lot != self._subject.lot),
        )

    def _proved(self, proof: Proof) -> None:
        self._count = proof.labels
        self.preview.show_proof(proof)
        self._waiting = proof.waiting
        self._show_notes(proof)
        self._show_actions(drawable=True)

    def _show_notes(self, proof: Proof) -> None:
        said = self._context.said
        subject = proof.wanted.subject
        waiting = proof.waiting
        told = [waiting_said(each.texts, each.language) for each in waiting]
        if proof.missing:
            lacking = tuple(each.said for each in proof.missing)
            told.append(message("ui_labels.missing", missing=lacking))
        if proof.leaflet:
            fields = tuple(message(f"label.field.{field}") for field in proof.leaflet)
            told.append(message("command.label.leaflet", fields=fields))
        notes = (*subject.notes, *proof.stops, *told)
        self.preview.show_notes(
            [said(each) for each in notes], [said(each) for each in subject.why]
        )
        self.approve.setVisible(bool(waiting))

    def _approve(self) -> None:
        """Approve what waits on this label, by a signature; the texts are shown with it."""
        waiting = self._waiting
        if not waiting:
            return
        self._context.sign(
            "approve_wordings",
            "\n".join(self._approving(each) for each in waiting),
            lambda desk, pin: approve_all(desk, waiting, pin),
            lambda _: self._redraw(),
            about=tuple(text for each in waiting for text in to_read(each)),
        )

    def _approving(self, waiting: Submitted) -> str:
        spoken = message(f"wording.language.{waiting.language}")
        return self._context.text("ui_labels.approving", language=spoken, n=len(waiting.texts))

    def _not_drawn(self, error: FormularyError) -> None:
        self.preview.show_refusal(error)
        made = self._subject.preparation if self._subject is not None else None
        self._count = made.containers if made is not None else 1
        self._waiting = ()
        self.approve.setVisible(False)
        self._show_actions(drawable=False)

    def _show_actions(self, *, drawable: bool) -> None:
        subject = self._subject
        printable = self.order.chosen_printer() is not None
        trial = subject is not None and subject.trial is not None
        # The one for the tray is none of those that were printed.
        again = bool(subject and subject.printed) and not self.order.awaiting.isChecked()
        key = "ui_labels.print_again" if again else "ui_labels.print"
        self.print_labels.setText(self._context.text(key, n=self._count))
        self.print_labels.setVisible(printable and not trial)
        self.print_labels.setEnabled(drawable and printable and not trial)
        self.say_why.setEnabled(drawable and (trial or not printable))
        self.save_pdf.setEnabled(drawable)
        self.leaflet.setEnabled(subject is not None and not trial)
        still_open = bool(subject and subject.addressable and not trial)
        self.keep_for_later.setVisible(still_open)
        self.add_to_run.setVisible(not trial)
        self.issues.setVisible(still_open)
        by_file = trial or not printable
        set_role(self._print_button, "" if by_file else "accent")
        set_role(self._save_button, "accent" if by_file else "")

    def _accent(self) -> QPushButton:
        by_file = self._save_button.property("role") == "accent"
        return self._save_button if by_file else self._print_button

    def _focus_accent(self) -> None:
        self._accent().setFocus()
        self._leaf.ensureWidgetVisible(self._accent())

    def _keep(self) -> None:
        subject, said = self._subject, self.order.said()
        if subject is None:
            return
        lot = subject.lot
        self._context.do(
            lambda desk: keep_address(desk, subject, said),
            lambda _: self._kept(lot),
            changes=(Topic.PREPARATIONS,),
        )

    def _kept(self, lot: str) -> None:
        self._typed.pop(lot, None)
        self._context.say.tell("ui_labels.kept", lot=lot)
        self._load()

    def _say_why(self) -> None:
        """Say why Ctrl+P prints nothing here."""
        trial = self._subject is not None and self._subject.trial is not None
        why = "trial_not_printed" if trial else "nothing_prints"
        self._context.say.refuse(message(f"ui_labels.{why}"))

    def _says_why(self) -> bool:
        """Tell whether a reprint has its reason, and ask for it where it hasn't."""
        made = None if self._subject is None else self._subject.preparation
        if made is None or not self.order.lacks_reason():
            return True
        self._context.say.refuse(message("bench.labels.reason_missing", n=made.containers))
        self.order.reason.setFocus()
        return False

    def _print(self) -> None:
        wanted = self._to_draw()
        if wanted is None or wanted.printer is None or not self._says_why():
            return
        if wanted.with_leaflet:
            # The leaflets go out in the same act, on a printer with paper in it.
            from ui.papers.printers import ask_printer

            ask_printer(self, lambda chosen: self.print_with(wanted, onto(chosen)))
        else:
            self.print_with(wanted, None)

    def print_with(self, wanted: Wanted, leaflets: Destination | None) -> None:
        """Print the labels, and their leaflets where those go."""
        printer = wanted.printer
        if printer is None:
            return
        deliver = to_printer(wanted.subject, printer)
        self.print_labels.setEnabled(False)
        self._context.do(
            lambda desk: issue(desk, wanted, deliver, leaflets),
            lambda made: self._printed(made, printer.name),
            changes=(Topic.PREPARATIONS,),
            failed=self._not_delivered,
        )

    def _printed(self, made: tuple[LabelPrint, ...], printer: str) -> None:
        n, lots = _counted(made)
        self._say_out(made, "ui_labels.printed", n=n, lot=lots, printer=printer)
        self._delivered(made)

    def _not_delivered(self, error: FormularyError) -> None:
        self._context.say.refuse(error)
        self._load()

    def _delivered(self, made: tuple[LabelPrint, ...]) -> None:
        for each in made:
            self._typed.pop(each.lot, None)
        self._take_run(())
        self._load()

    def _add_to_run(self) -> None:
        """Print this preparation together with the next one that is chosen."""
        if self._subject is not None and self._subject.trial is None:
            self._take_run((*self._run, self._subject.lot))
            self._choose_other()

    def _take_run(self, lots: tuple[str, ...]) -> None:
        self._run = tuple(dict.fromkeys(lots))
        self.order.show_run(self._run)

    def _calibrate(self) -> None:
        """Print a page to align the printer by, or save it where there is no printer."""
        printer = self.order.chosen_printer()
        if printer is None:
            self._ask_where("calibration", self.save_calibration)
            return
        stock = self.order.chosen_stock()
        self._context.do(
            lambda desk: print_calibration(desk, stock, printer, self._context.catalogue),
            lambda _: self._context.say.tell("ui_labels.calibration_printed", printer=printer.name),
        )

    def save_calibration(self, path: Path) -> None:
        """Write the page to align a printer by."""
        stock = self.order.chosen_stock()
        self._context.do(
            lambda _: write_calibration(stock, path, self._context.catalogue),
            lambda _: self._context.say.tell("ui_labels.calibration_saved", place=str(path)),
        )

    def _save_leaflet(self) -> None:
        """Write the leaflet of the lot in view, in the label's language."""
        if self._subject is None or self._subject.trial is not None:
            return
        lot, language = self._subject.lot, self.order.chosen_language()

        def made(desk: Desk) -> Paper:
            from formulary.papers.every_paper import leaflet_of

            return leaflet_of(desk, lot, language)

        save_paper(self, self._context, self.leaflet.text(), f"{lot}-leaflet", made)

    def _ask_file(self) -> None:
        """Ask where the PDF goes; Enter accepts the lot's name in the folder of the last one."""
        if self._subject is not None and self._says_why():
            self._ask_where(self._subject.lot, self.save_to)

    def _ask_where(self, name: str, save: Callable[[Path], None]) -> None:
        ask_to_save(self, self._context.text("ui_labels.save_title"), f"{name}.pdf", save, PDF)

    def save_to(self, path: Path) -> None:
        """Write the labels as a PDF; a started preparation's are put on record with it."""
        wanted = self._to_draw()
        if wanted is None:
            return
        if wanted.subject.trial is not None:
            self._save_trial(wanted, path)
            return
        deliver = to_file(wanted.subject, path)
        beside = into_file(path.with_name(f"{path.stem}-leaflet.pdf"))
        self._context.do(
            lambda desk: issue(desk, wanted, deliver, beside if wanted.with_leaflet else None),
            lambda made: self._saved_run(made, path),
            changes=(Topic.PREPARATIONS,),
            failed=self._not_delivered,
        )

    def _save_trial(self, wanted: Wanted, path: Path) -> None:
        first = replace(wanted, page=0)

        def done(proof: Proof) -> None:
            lot = wanted.subject.lot
            self._context.say.tell("ui_labels.saved", n=proof.labels, lot=lot, place=str(path))
            self._typed.pop(lot, None)
            self._load()

        def save(proof: Proof) -> Proof:
            write_file(proof.pdf, path)
            return proof

        self._context.do(lambda desk: save(prove(desk, first)), done)

    def _saved_run(self, made: tuple[LabelPrint, ...], path: Path) -> None:
        n, lots = _counted(made)
        self._say_out(made, "ui_labels.saved", n=n, lot=lots, place=str(path))
        self._delivered(made)

    def _say_out(self, made: tuple[LabelPrint, ...], key: str, **told: Parameter) -> None:
        """Say how many labels are out, and how many leaflets went with them."""
        leaflets = sum(each.leaflets for each in made)
        if not leaflets:
            self._context.say.tell(key, **told)
            return
        said = message(key, **told)
        self._context.say.tell("ui_labels.with_leaflets", labels=said, n=leaflets)


def _counted(made: tuple[LabelPrint, ...]) -> tuple[int, str]:
    """Return how many labels were printed and of which lots."""
    return sum(each.copies for each in made), ", ".join(each.lot for each in made)
