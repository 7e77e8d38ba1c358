"""Start the window: first paint with an empty index, then the store is opened in the background."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from PySide6.QtWidgets import QApplication

from ui import last_resort, theme
from ui.context import Context
from ui.options import Options, read_options
from ui.window import Window


def main(arguments: Sequence[str]) -> int:
    """Open the window, or draw it into a file; return the exit code."""
    options = read_options(arguments)
    app = application(options)
    if options.picture:
        from ui.picture import draw

        return draw(options)
    context = Context()
    window = Window(context)
    last_resort.catch(context.say, window.keep_drafts)
    window.restore_place()
    window.show_empty()
    # The first paint needs nothing of the store.
    window.painted.connect(lambda: _begin(window, options))
    window.show()
    return app.exec()


def _begin(window: Window, options: Options) -> None:
    import signal

    from ui.garbage import Garbage

    Garbage(window)
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    from ui.opening import Opening
    from ui.others import Others

    Others(window.context)
    opening = Opening(window, options.formulary)
    if options.ask:
        opening.ask()
    else:
        opening.begin()


def application(options: Options) -> QApplication:
    """Return the program's one application with its look."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName("misce")
    app.setOrganizationName("misce")
    app.setApplicationDisplayName("Misce")
    theme.follow_system(app)
    if options.dark or options.type_percent:
        factor = options.type_percent / 100 or None
        theme.apply(app, type_factor=factor, dark=options.dark or None)
    return app
