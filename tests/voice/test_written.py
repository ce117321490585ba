"""Voices without sound, and what every voice promises."""

import io
from collections.abc import Callable

import pytest

from assistant.spoken.meaning import CommandKind
from assistant.voice.aloud import SpokenVoice
from assistant.voice.errors import VoiceError
from assistant.voice.player import Player
from assistant.voice.spelling import PLAIN, spell_for
from assistant.voice.synthesis import Synthesiser
from assistant.voice.written import (
    ROLE_WORDS,
    BothVoices,
    PrintedVoice,
    SilentVoice,
    fitted,
    format_line,
)
from assistant.walk.ends import Role, Utterance, Voice

PROMPT = Utterance(Role.PROMPT, "Set the meter to ohms.", shown="Set the meter to \N{OHM SIGN}.")


class Full(io.StringIO):
    """A stream on a full disk."""

    def write(self, text: str, /) -> int:
        """Refuse."""
        del text
        raise OSError(28, "No space left on device")


def closed_stream() -> io.StringIO:
    """Give a stream that was closed."""
    stream = io.StringIO()
    stream.close()
    return stream


def refuse(_rate: int) -> None:
    """Stand for a machine without loudspeaker."""
    raise VoiceError("There is no sound output that opens.")


VOICES: dict[str, Callable[[], Voice]] = {
    "silent": SilentVoice,
    "printed": lambda: PrintedVoice(io.StringIO()),
    "printed, closed": lambda: PrintedVoice(closed_stream()),
    "printed, full": lambda: PrintedVoice(Full()),
    "spoken": lambda: SpokenVoice(
        Synthesiser(),
        Player(refuse),  # type: ignore[arg-type]
        lambda _sentence: None,
    ),
    "both": lambda: BothVoices([PrintedVoice(io.StringIO()), SilentVoice()]),
    "none of several": lambda: BothVoices([]),
}


@pytest.mark.parametrize("make", VOICES.values(), ids=VOICES)
def test_no_voice_ever_raises(make: Callable[[], Voice]) -> None:
    """Every voice takes every role, odd text too, and can be closed twice."""
    voice = make()
    for role in Role:
        voice.say(Utterance(role, "Read\nit \x1b[31mnow\x00 \ud800."))
    voice.say(Utterance(Role.PROMPT, ""))
    voice.close()
    voice.close()


def test_every_role_has_a_word_of_its_own() -> None:
    """No two roles print the same word, and none is missing."""
    assert set(Role) == set(ROLE_WORDS)
    assert len(Role) == len(set(ROLE_WORDS.values()))


def test_caution_stands_out() -> None:
    """A caution's line begins with the word in capitals."""
    assert "CAUTION: Bleed it." == format_line(Utterance(Role.CAUTION, "Bleed it."))


def test_lines_are_appended_for_the_eye() -> None:
    """One line an utterance, with what is shown rather than what is said; no line is taken back."""
    stream = io.StringIO()
    voice = PrintedVoice(stream)
    voice.say(PROMPT)
    voice.say(Utterance(Role.VERDICT, "Good.\r\nNext\x1b[2J."))
    assert "Step: Set the meter to \N{OHM SIGN}.\nVerdict: Good. Next [2J.\n" == stream.getvalue()


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1", "utf-8"])
def test_every_encoding_can_be_written(encoding: str) -> None:
    """What an encoding lacks is spelled out; the line is there whole."""
    bytes_written = io.BytesIO()
    stream = io.TextIOWrapper(bytes_written, encoding=encoding, newline="\n")
    PrintedVoice(stream).say(Utterance(Role.NOTICE, "x", shown="17.5 \N{OHM SIGN} ±6 % of 10 µF"))
    line = bytes_written.getvalue().decode(encoding)
    if encoding == "utf-8":
        assert "Note: 17.5 \N{OHM SIGN} ±6 % of 10 µF\n" == line
    else:
        assert "17.5 ohm" in line
        assert "?" not in line
    if encoding == "ascii":
        assert "Note: 17.5 ohm +-6 % of 10 uF\n" == line


def test_spellings_are_writable_everywhere() -> None:
    """Each spelling is plain ASCII, and a letter without one becomes a question mark."""
    assert all(spelled.isascii() for spelled in PLAIN.values())
    assert "Note: ?" == format_line(Utterance(Role.NOTICE, "\N{SNOWMAN}"), "ascii")
    assert "10 uF?" == spell_for("10 µF\udc80", "an encoding of no-one's")


class Terminal(io.StringIO):
    """A stream that is a terminal."""

    def isatty(self) -> bool:
        """Say so."""
        return True


def test_a_terminal_breaks_no_word(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines break between words, deeper than they began; a path and a code stay whole."""
    monkeypatch.setenv("COLUMNS", "21")
    terminal = Terminal()
    text = "Its code is ABCD-EFGH-JKLM.\n  cap: 2.9 µF, FAIL (7.05 to 7.95 µF)\n\n"
    text += "/a/path/longer/than/it"
    expected = [
        *("Its code is", "  ABCD-EFGH-JKLM."),
        *("  cap: 2.9 µF, FAIL", "    (7.05 to 7.95", "    µF)"),
        *("", "/a/path/longer/than/it"),
    ]
    assert expected == fitted(text, terminal).split("\n")
    assert text == fitted(text, io.StringIO())
    PrintedVoice(terminal).say(Utterance(Role.NOTICE, "Going on with this."))
    assert "Note: Going on with\n  this.\n" == terminal.getvalue()


@pytest.mark.parametrize("stream", [closed_stream(), Full()], ids=["closed", "full"])
def test_broken_stream_is_known(stream: io.StringIO) -> None:
    """The owner can see that lines are lost."""
    voice = PrintedVoice(stream)
    voice.say(PROMPT)
    assert voice.is_broken


def test_both_say_it_in_their_order_and_adjust() -> None:
    """Each voice gets each utterance; commands reach the voices that know them."""
    said = list[str]()

    class Named:
        def __init__(self, name: str) -> None:
            self._name = name

        def say(self, utterance: Utterance) -> None:
            said.append(f"{self._name} {utterance.role}")

        def adjust(self, kind: CommandKind) -> bool:
            return kind is CommandKind.SLOWER

        def close(self) -> None:
            said.append(f"{self._name} closed")

    both = BothVoices([Named("eye"), Named("ear"), SilentVoice()])
    both.say(PROMPT)
    assert both.adjust(CommandKind.SLOWER)
    assert not both.adjust(CommandKind.LOUDER)
    assert not BothVoices([SilentVoice()]).adjust(CommandKind.SLOWER)
    both.close()
    assert ["eye prompt", "ear prompt", "eye closed", "ear closed"] == said
