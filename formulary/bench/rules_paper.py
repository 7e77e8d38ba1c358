"""What was done on paper first is entered with the time and the person that stand there."""

from __future__ import annotations

from formulary.bench import events
from formulary.bench.applying import refuse
from formulary.bench.events import Event, Recorded
from formulary.bench.state import State
from formulary.errors import Forbidden
from formulary.messages import message

ON_PAPER: tuple[type[Event], ...] = (
    events.PlanChecked,
    events.BenchCleared,
    events.ContainerStaged,
    events.VesselTared,
    events.VesselWeighed,
    events.WaterRestored,
    events.LineWeighed,
    events.LineTransferred,
    events.LineChecked,
    events.EndReached,
    events.LineDecided,
    events.DropsAdded,
    events.MixtureMade,
    events.StepStarted,
    events.StepDone,
    events.Measured,
    events.PhasesJoined,
    events.YieldTaken,
    events.QualityTested,
    events.ContainersFilled,
)
"""What a worksheet has room for; labels and release are done with the program again."""


def require_original(state: State, recorded: Recorded) -> None:
    """Refuse an entry of a paper worksheet without its time and person, and one that can't be.

    Raises :class:`formulary.errors.Forbidden` where somebody signs what another did on paper.
    """
    original = recorded.original
    if original is None:
        if state.transcribed and isinstance(recorded.event, ON_PAPER):
            refuse("paper.unsaid", sheet=state.transcribed[-1])
        return
    if not state.transcribed:
        refuse("paper.not_marked")
    if not original.person_id:
        refuse("paper.nobody")
    if original.at > recorded.at:
        refuse("paper.to_come", at=original.at)
    given = state.reserved_at
    # A paper says minutes, no seconds.
    if given is not None and original.at < given.replace(second=0, microsecond=0):
        refuse("paper.too_early", at=original.at, first=given)
    signature = recorded.signature
    if signature is not None and original.person_id != signature.person_id:
        raise Forbidden(
            message("bench.foreign_signature", person=original.person, signer=signature.person)
        )
