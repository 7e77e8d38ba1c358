"""The page *Settings*: the house, its equipment and its people, saved as one act."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from formulary.desk import Desk
from formulary.errors import BadText, Conflict, FormularyError
from formulary.house import House
from formulary.labels.stock import LabelStock, label_stocks
from formulary.messages import Message, message
from formulary.people import Person
from formulary.shelf_life.house_rules import DraftRules
from formulary.verbs.keep_records import save_house, save_person
from formulary.verbs.read_history import HOUSE_WORDS
from formulary.verbs.sign_house_rules import sign_house_rules
from formulary.verbs.stocks_of_house import stocks_of
from ui import signs, theme
from ui.context import Context, Topic
from ui.forms import kept_edits
from ui.forms.both_versions import BothVersions, differing
from ui.forms.fields import FormField
from ui.forms.form import Form
from ui.forms.leaf import fit_index, leaf
from ui.forms.record_book import RecordBook
from ui.forms.record_table import RecordTable
from ui.forms.signed_text import SignedText
from ui.forms.unsaved import Unsaved
from ui.layouts.panel import LayoutsPanel
from ui.settings.backups_panel import BackupsPanel
from ui.settings.date_rules import date_fields
from ui.settings.house_fields import (
    name_fields,
    review_fields,
    weighing_fields,
    writing_fields,
)
from ui.settings.house_rules import HouseRulesPanel
from ui.settings.house_sheet import (
    BadCell,
    Sheet,
    as_texts,
    house_of,
    people_of,
    rules_of,
    sheet_of,
)
from ui.settings.number_preview import written_examples
from ui.settings.section_index import SectionIndex
from ui.settings.sheet_edits import REVISION, from_edits, to_edits
from ui.settings.table_columns import table_fields
from ui.settings.wording_panel import WordingPanel
from ui.settings.workstation_panel import WorkstationPanel
from ui.widgets.flow_layout import FlowLayout
from ui.widgets.words import action, button, hairline, label, spaced

AREA = "settings"
INDEX_WIDTH = 240
REASON_WIDTH = 260
NAMES, WRITING, WEIGHING, REVIEW, WORDING = "names", "writing", "weighing", "review", "wording"
DATES, BALANCES, RULES, WORKSTATION = "dates", "balances", "rules", "workstation"
LAYOUTS = "layouts"
PEOPLE, BACKUPS = "people", "backups"
GROUPS = {
    "here": (WORKSTATION,),
    "house": (NAMES, WRITING, PEOPLE, "trainings", BACKUPS),
    "making": (WEIGHING, BALANCES, "measures", "instruments", "packs"),
    "formulas": (REVIEW, RULES, DATES, "house_rules"),
    "labels": ("printers", WORDING, LAYOUTS),
}
"""The sections as the index groups them."""


class SettingsPage(QWidget):
    """Edits the house; nothing changes before it is saved, and nothing typed is lost."""

    help_page = "settings"

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._house_id = ""
        self._begun_on = 0
        self._unsaved = False
        self.names = Form(context, "ui_settings", name_fields())
        self.writing = Form(context, "ui_settings", writing_fields(context))
        self.weighing = Form(context, "ui_settings", weighing_fields(context))
        self.review = Form(context, "ui_settings", review_fields(context))
        self.backups = BackupsPanel(context)
        self.dates = Form(context, "ui_settings", date_fields(context))
        self.forms = {
            NAMES: self.names,
            WRITING: self.writing,
            WEIGHING: self.weighing,
            REVIEW: self.review,
            DATES: self.dates,
            BACKUPS: self.backups.form,
        }
        self._stocks = label_stocks()
        self.tables = {name: self._table(name) for name in table_fields(context)}
        self.wording = WordingPanel(context)
        self.rules = HouseRulesPanel(context)
        self.workstation = WorkstationPanel(context)
        self.layouts = LayoutsPanel(context)
        self.examples = label(role="quiet")
        self.signed_rules = label(role="quiet")
        self.reason = QLineEdit()
        self.sample = SignedText(context, signs.Sign.TRIANGLE, "thought", worded=False)
        self.sections = SectionIndex(context, GROUPS)
        self.stack = QStackedWidget()
        self.both = BothVersions(context)
        self._make_actions()
        self._lay_out()
        # Said before it has its place, it would be a window of its own and take the focus.
        self.sample.say([context.text("ui_settings.sample")])
        self._connect()

    def take(self, subject: object) -> None:
        """Show a section by its name, such as "printers"."""
        if isinstance(subject, str):
            self._go_to(subject)

    def record_in_view(self) -> str:
        """Return what calls for the history of the house's settings."""
        return HOUSE_WORDS[-1]

    def shown(self) -> None:
        """Show the house as it stands, with what was typed and not saved yet."""
        if not self._unsaved or self._house_id != self._context.house.id:
            self._read()
        self._context.do(
            lambda desk: stocks_of(desk.store), self._take_stocks, lane="settings.printed_on"
        )
        self.wording.begin()
        self._begin_layouts()
        self.workstation.begin()
        self.backups.begin()
        self.rules.read()
        self.sections.setFocus()

    def _take_stocks(self, stocks: tuple[LabelStock, ...]) -> None:
        """Let printers print on these; what stands in their table is looked at again."""
        if stocks != self._stocks:
            self._stocks = stocks
            printers = self.tables["printers"]
            printers.show_rows(printers.rows())

    def keep_draft(self) -> None:
        """Keep the unsaved edits on this computer."""
        if self._house_id:
            edits = to_edits(self.sheet(), self._begun_on) if self._unsaved else {}
            kept_edits.keep(self._house_id, AREA, edits)

    def sheet(self) -> Sheet:
        """Return all of the page as it stands."""
        return Sheet(
            {name: text for form in self.forms.values() for name, text in form.values().items()},
            {name: table.rows() for name, table in self.tables.items()},
        )

    def _table(self, name: str) -> RecordTable | RecordBook:
        """Return a table, or for balances, which have many fields, a list with a form."""
        if name == BALANCES:
            return RecordBook(self._context, *self._named(name))
        return RecordTable(self._context, *self._named(name), fixed=name == PEOPLE)

    def _named(self, name: str) -> tuple[str, str, tuple[FormField, ...]]:
        fields = table_fields(self._context, lambda: self._stocks)[name]
        return f"ui_settings.{name}", self._context.text(f"ui_settings.section.{name}"), fields

    def _make_actions(self) -> None:
        text = self._context.text
        self.save = action(self, text("ui_settings.save"), "Ctrl+S", self._save)
        self.undo = action(self, text("ui_settings.undo"), "Ctrl+Shift+Z", self._undo)
        action(self, text("ui_settings.to_sections"), "Esc", self.sections.setFocus)

    def _lay_out(self) -> None:
        own = {
            WRITING: self._writing_panel(),
            DATES: self._dates_panel(),
            **self.tables,
            RULES: self.rules,
            WORDING: self.wording,
            WORKSTATION: self.workstation,
            BACKUPS: self.backups,
            LAYOUTS: self.layouts,
        }
        panels: dict[str, QWidget] = {**self.forms, **own}
        for name in self.sections.names:
            self.stack.addWidget(leaf(self._section(name, panels[name])))
        self.sections.come_to(NAMES)
        self.stack.setCurrentIndex(self.sections.names.index(NAMES))
        row = QHBoxLayout(self)
        spaced(row, inside=0)
        row.addWidget(self._index())
        right = QVBoxLayout()
        spaced(right, inside=0)
        right.addWidget(self.stack, 1)
        right.addWidget(hairline())
        right.addWidget(self.both)
        self.both.setContentsMargins(theme.px(24), theme.px(8), theme.px(24), 0)
        right.addWidget(self._save_bar())
        row.addLayout(right, 1)

    def _index(self) -> QWidget:
        index = QWidget()
        index.setObjectName("index")
        index.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._sections_side = index
        box = QVBoxLayout(index)
        spaced(box, inside=8, around=12)
        box.addWidget(self.sections)
        return index

    def _writing_panel(self) -> QWidget:
        panel = QWidget()
        box = QVBoxLayout(panel)
        spaced(box)
        box.addWidget(self.writing)
        box.addWidget(self.examples)
        return panel

    def _dates_panel(self) -> QWidget:
        panel = QWidget()
        box = QVBoxLayout(panel)
        spaced(box)
        box.addWidget(self.dates)
        box.addWidget(self.signed_rules)
        return panel

    def _section(self, name: str, panel: QWidget) -> QWidget:
        section = QWidget()
        box = QVBoxLayout(section)
        spaced(box, inside=12, around=24)
        box.addWidget(label(self._context.text(f"ui_settings.section.{name}"), "title"))
        box.addWidget(label(self._context.text(f"ui_settings.about.{name}"), "note"))
        if name == NAMES:
            box.addWidget(self.sample)
        tall = name in self.tables or name == WORDING
        box.addWidget(panel, int(tall))
        if not tall:
            box.addStretch(1)
        return section

    def _save_bar(self) -> QWidget:
        bar = QWidget()
        row = FlowLayout(bar, gap=12)
        self.reason.setMinimumWidth(theme.px(REASON_WIDTH))
        self.reason.setAccessibleName(self._context.text("ui_settings.reason"))
        self.reason.setPlaceholderText(self._context.text("ui_settings.reason"))
        save = button(self.save, accent=True)
        save.setAutoDefault(True)
        self.unsaved = Unsaved(self._context)
        row.addWidget(self.reason)
        for widget in (save, button(self.undo), self.unsaved):
            row.addWidget(widget)
        box = QVBoxLayout()
        spaced(box, inside=4)
        whole = QWidget()
        whole.setLayout(box)
        box.setContentsMargins(theme.px(24), theme.px(8), theme.px(24), theme.px(12))
        box.addWidget(bar)
        return whole

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the sections enough room."""
        super().resizeEvent(event)
        fit_index(self._sections_side, event.size().width(), INDEX_WIDTH)

    def _connect(self) -> None:
        self.sections.chosen.connect(self._show_section)
        self.sections.itemActivated.connect(lambda _: self._into_section())
        for form in self.forms.values():
            form.edited.connect(self._edited)
        for table in self.tables.values():
            table.edited.connect(self._edited)
        self.reason.returnPressed.connect(self.save.trigger)
        self.writing.edited.connect(self._show_examples)
        self.both.mine_wanted.connect(self._save_over)
        self.both.theirs_wanted.connect(self._undo)

    def _go_to(self, name: str) -> None:
        if name in self.sections.names:
            self.sections.come_to(name)

    def _begin_layouts(self) -> None:
        """Read the house's labels only for the section that is tried with them."""
        if self.sections.current() == LAYOUTS:
            self.layouts.begin()

    def _show_section(self, name: str) -> None:
        self._begin_layouts()
        # Their keys are written on buttons in view, so they are live beside them as well.
        for each in self.backups.acts:
            (self.addAction if name == BACKUPS else self.removeAction)(each)
        self.stack.setCurrentIndex(self.sections.names.index(name))

    def _into_section(self) -> None:
        name = self.sections.current()
        if name == WORDING:
            self.wording.list.setFocus()
            return
        if name in (WORKSTATION, LAYOUTS):
            (self.workstation if name == WORKSTATION else self.layouts).enter()
            return
        panels: dict[str, Form | RecordTable | RecordBook] = {
            **self.forms,
            **self.tables,
            RULES: self.rules.form,
        }
        panel = panels[name]
        if isinstance(panel, Form):
            next(iter(panel.inputs.values())).setFocus()
        else:
            panel.enter()

    def _read(self) -> None:
        """Show the house as it stands, or what was typed before a crash."""
        context = self._context
        self._house_id = context.house.id
        kept = kept_edits.kept(self._house_id, AREA)
        sheet = from_edits(kept) if kept else None
        self._unsaved = sheet is not None
        self._begun_on = int(kept["house"][REVISION]) if sheet else context.house.revision
        self._show(sheet or sheet_of(context.house, context.people, context.catalogue))

    def _show(self, sheet: Sheet) -> None:
        for form in self.forms.values():
            form.show_values(sheet.house)
        for name, table in self.tables.items():
            table.show_rows(sheet.tables.get(name, []))
        self.sample.setVisible(self._context.house.sample)
        self._show_signed_rules()
        self._show_examples()
        self._show_state()

    def _show_signed_rules(self) -> None:
        rules, text = self._context.house.house_rules, self._context.text
        if rules is None:
            self.signed_rules.setText(text("ui_settings.no_rules"))
            return
        by = rules.signature
        self.signed_rules.setText(
            text("ui_settings.rules_signed", person=by.person, day=by.at.date())
        )

    def _show_examples(self) -> None:
        values = self.writing.values()
        written = written_examples(self._context.catalogue.language, values["decimal_sign"] or ".")
        self.examples.setText(self._context.text("ui_settings.examples", written=written))

    def _show_state(self) -> None:
        self.unsaved.setVisible(self._unsaved)
        self.save.setEnabled(self._unsaved)
        self.undo.setEnabled(self._unsaved)

    def _edited(self) -> None:
        if not self._unsaved:
            self._begun_on = self._context.house.revision
        context = self._context
        stands = sheet_of(context.house, context.people, context.catalogue)
        self._unsaved = self.sheet() != stands
        self.keep_draft()
        self._show_state()

    def _undo(self) -> None:
        self._unsaved = False
        self.both.hide()
        self.keep_draft()
        self._context.tell_changed(Topic.HOUSE)
        self._read_after()

    def _save(self) -> None:
        if not self.save.isEnabled():
            return
        if self._go_to_trouble():
            self._context.say.refuse(message("ui_settings.mend_first"))
            return
        before = self._context.house
        try:
            wanted = house_of(self.sheet(), before, before.decimal_sign)
            rules = rules_of(self.sheet(), before)
        except BadCell as error:
            self._show_bad_cell(error)
            return
        except BadText as error:
            self._context.say.refuse(error)
            return
        people = people_of(self.sheet(), self._context.people)
        self._keep(wanted, people, rules)

    def _keep(self, wanted: House, people: tuple[Person, ...], rules: DraftRules | None) -> None:
        """Keep all that changed; rules of the house are signed with it."""
        reason, begun_on = self.reason.text().strip(), self._begun_on
        before = self._context.house

        def keep(desk: Desk, pin: str = "") -> None:
            changed = wanted != before or begun_on != before.revision
            if changed:
                save_house(desk, replace(wanted, revision=begun_on), reason)
            for person in people:
                save_person(desk, person)
            if rules is not None:
                sign_house_rules(desk, rules, pin)

        if rules is None:
            self._context.do(
                keep, lambda _: self._saved(), changes=(Topic.HOUSE,), failed=self._not_saved
            )
            return
        meaning = self._context.text("ui_settings.sign_rules", n=len(rules.limits))
        self._context.sign(
            "sign_house_rules",
            meaning,
            keep,
            lambda _: self._saved(),
            changes=(Topic.HOUSE,),
            refused=self._late,
        )

    def _not_saved(self, trouble: FormularyError) -> None:
        self._context.say.refuse(trouble)
        self._late(trouble)

    def _late(self, trouble: FormularyError) -> None:
        """Show what somebody else saved meanwhile beside what is typed here."""
        if isinstance(trouble, Conflict):
            self._context.tell_changed(Topic.HOUSE)
            self._context.do(lambda _: None, lambda _: self._ask_which(trouble.message))

    def _ask_which(self, why: Message) -> None:
        context = self._context
        theirs = sheet_of(context.house, context.people, context.catalogue)
        names = {
            **{each: context.text(f"ui_settings.field.{each}") for each in self.sheet().house},
            **{each: context.text(f"ui_settings.section.{each}") for each in self.tables},
        }
        self.both.ask(why, differing(names, as_texts(theirs), as_texts(self.sheet())))

    def _save_over(self) -> None:
        """Save what is typed here over what somebody else saved, now that both were seen."""
        self._begun_on = self._context.house.revision
        self._save()

    def _saved(self) -> None:
        self._unsaved = False
        self.both.hide()
        self.keep_draft()
        self.reason.clear()
        self._show_state()
        self._context.say.tell("ui_settings.saved")
        self._read_after()

    def _read_after(self) -> None:
        """Show the house after what was asked of the store before, its reading among it."""
        self._context.do(lambda _: None, lambda _: self._read(), lane="settings.read")

    def _go_to_trouble(self) -> bool:
        """Go to the first field that something is wrong with; False where nothing is."""
        for name, form in self.forms.items():
            faulty = form.first_trouble()
            if faulty:
                self._go_to(name)
                form.inputs[faulty].setFocus()
                return True
        for name, table in self.tables.items():
            if table.model.first_trouble() is not None:
                self._go_to(name)
                return table.go_to_trouble()
        return False

    def _show_bad_cell(self, error: BadCell) -> None:
        self._go_to(error.table)
        table = self.tables[error.table]
        columns = [field.name for field in table.model.fields]
        table.go_to(error.row, columns.index(error.field or "name"))
        self._context.say.refuse(error)
