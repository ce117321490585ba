"""What can be heard on this machine, and what to do about the rest."""

from dataclasses import dataclass

from assistant.devices import DeviceError
from assistant.ears.capture import microphones
from assistant.ears.cleaning import state_of_cleaning
from assistant.ears.detector import state_of_detector
from assistant.ears.makers import RecogniserOptions, chosen_name, state_of, states


@dataclass(frozen=True, slots=True)
class EarsFacts:
    """What was found.

    Args:
        recognisers: each recogniser's name with what was found of it.
        chosen: the one that is heard with.
        microphones: the microphones by name.
        trouble: why there is no list of microphones; empty when there is one.
        can_hear: whether the chosen recogniser could be made.
        cleaning: whether noise is taken out before it hears, or what is lacking for that.
        detector: whether a voice is found in noise, or what is lacking for that.
    """

    recognisers: tuple[tuple[str, str], ...]
    chosen: str
    microphones: tuple[str, ...]
    trouble: str
    can_hear: bool
    cleaning: str
    detector: str

    @property
    def lines(self) -> tuple[str, ...]:
        """Give what was found, a line each, for people."""
        found = [f"recogniser {name}: {state}" for name, state in self.recognisers]
        names = ", ".join(self.microphones) or "none"
        advice = self.trouble or (
            "Nothing needs doing: answers can be spoken."
            if self.microphones
            else "Connect a microphone or headset to answer by voice; --plain needs none."
        )
        found.append(f"noise reduction: {self.cleaning}")
        found.append(f"finding a voice in noise: {self.detector}")
        return (*found, f"heard with: {self.chosen}", f"microphones: {names}", advice)


def ears_facts(setting: str, options: RecogniserOptions) -> EarsFacts:
    """Look at recognisers and microphones; the chosen recogniser is really started.

    Args:
        setting: `auto`, or the recogniser that is wanted, by name.
        options: what recognisers are made with.
    """
    chosen = chosen_name(setting, options)
    found = states(options)
    if chosen not in found:
        found[chosen] = state_of(chosen, options)
    names, trouble = _names()
    can_hear = found[chosen] == "ready"
    return EarsFacts(
        tuple(found.items()),
        chosen,
        names,
        trouble,
        can_hear,
        state_of_cleaning(),
        state_of_detector(),
    )


def _names() -> tuple[tuple[str, ...], str]:
    try:
        return microphones().names, ""
    except DeviceError as error:
        return (), str(error)
