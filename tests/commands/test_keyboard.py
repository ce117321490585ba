"""Keys of a terminal: what they are called, what they type, and that the terminal comes back."""

import signal
import sys
from collections.abc import Iterator

import pytest

from assistant.desk.errors import DeskError
from assistant.desk.keyboard import CHANGED, Entry, check_talk_key
from assistant.desk.keys import Key, KeyReader
from assistant.ears.beside import BothEars
from assistant.ears.talk import TalkKey, TalkMode
from assistant.spoken.meaning import Expectation
from assistant.walk.ends import Heard, HungUp, Silence
from tests.tools.pty_program import PtyProgram


@pytest.mark.parametrize(
    ("sent", "keys"),
    [
        (b"a", [Key("a", "a")]),
        ("\N{LATIN SMALL LETTER U WITH DIAERESIS}".encode(), [Key("ü", "ü")]),
        (b" \r\x7f\x04\x15", [Key("space", " ")] + [
            Key(name) for name in ("enter", "backspace", "end_of_input", "clear")
        ]),
        (b"\x1bOP\x1b[15~\x1b[17~\x1b[24~", [Key(f"f{number}") for number in (1, 5, 6, 12)]),
        (b"\x1b[5~\x1b[6~\x1b[H\x1b[F", [Key(n) for n in ("pageup", "pagedown", "home", "end")]),
        (b"\x1b[24;1:1~\x1b[24;1:2~\x1b[24;1:3~", [Key("f12"), Key("f12", is_release=True)]),
        (b"\x1b[1;1:3P", [Key("f1", is_release=True)]),
        (b"\x1b[57430u\x1b[57430;1:3u", [Key("media"), Key("media", is_release=True)]),
        (b"\x1b[200~x\x01", [Key("x", "x")]),
    ],
)  # fmt: skip
def test_keys_have_names(sent: bytes, keys: list[Key]) -> None:
    """Xterm's and the newer protocol's sequences; repeats and what is no key are passed over."""
    assert keys == list(KeyReader().read(sent))


def test_a_letter_in_two_pieces_is_one() -> None:
    """A terminal may cut a letter of several bytes."""
    reader = KeyReader()
    assert [] == list(reader.read(b"\xc3"))
    assert [Key("ü", "ü")] == list(reader.read(b"\xbc"))


class Desk:
    """A line being typed, with all that it tells."""

    def __init__(self, mode: TalkMode = TalkMode.OPEN, key: str = "space") -> None:
        self.ears, self.talk = BothEars(lambda _sentence: None), TalkKey(mode, key)
        self.ears.turn = 1
        self.shown: list[str | None] = []
        self.told: list[str] = []
        self.answered: list[str] = []
        self.entry = Entry(
            self.ears, self.talk, self.answered.append, self.shown.append, self.told.append
        )

    def type(self, sent: bytes) -> None:
        """Type."""
        for key in KeyReader().read(sent):
            self.entry.press(key)

    def hear(self) -> object:
        """Give what the ears hear."""
        return self.ears.listen(Expectation())


def test_a_line_is_typed_mended_and_sent() -> None:
    """Letters, backspace, clearing the line, and Enter; the voice is told before the ears."""
    desk = Desk()
    desk.type(b"xx\x15teb\x7fn\r")
    assert desk.hear() == Heard("ten")
    assert ["x", "xx", "", "t", "te", "teb", "te", "ten", None] == desk.shown
    assert ["ten"] == desk.answered
    desk.type(b"\r")
    assert desk.hear() == Silence("typed")


def test_a_line_begun_at_another_step_is_kept_and_told() -> None:
    """The step changed while it was typed: Enter sends it only when pressed again."""
    desk = Desk()
    desk.type(b"ten")
    desk.ears.turn = 2
    desk.type(b"\r")
    assert [CHANGED] == desk.told
    desk.type(b"\r")
    assert desk.hear() == Heard("ten")


def test_the_end_of_input_hangs_up_where_nothing_is_typed() -> None:
    """As a file of lines that ends."""
    desk = Desk()
    desk.type(b"t\x04")
    desk.type(b"\x7f\x04")
    assert isinstance(desk.hear(), HungUp)


@pytest.mark.parametrize(("key", "sent"), [("space", b" "), ("enter", b"\r"), ("f12", b"\x1b[24~")])
def test_the_talk_key_talks_where_nothing_is_typed(key: str, sent: bytes) -> None:
    """In the middle of a line space is a space and Enter sends it; a function key always talks."""
    desk = Desk(TalkMode.PUSH, key)
    desk.talk.wait()
    desk.type(sent)
    assert desk.talk.lets_through
    desk.talk.shut()
    desk.talk.wait()
    desk.type(b"a" + sent)
    assert desk.talk.lets_through == (key == "f12")


def test_an_open_microphone_leaves_the_key_alone() -> None:
    """Where sound always counts, space types a space."""
    desk = Desk()
    desk.type(b" a")
    assert [" ", " a"] == desk.shown


def test_a_letter_cannot_be_the_talk_key() -> None:
    """It would be missing from every answer that is typed."""
    assert "f12" == check_talk_key("F12")
    with pytest.raises(DeskError, match="'q' cannot be the talk key"):
        check_talk_key("q")


PROGRAM = """
import sys, time
from assistant.desk.keyboard import open_keyboard
from assistant.ears.beside import BothEars
from assistant.ears.talk import TalkKey
from assistant.spoken.meaning import Expectation
ears = BothEars(print)
keyboard = open_keyboard(ears, TalkKey(), lambda words: None)
print("ready", flush=True)
ears.listen(Expectation())
print("a line of the walk")
heard = ears.listen(Expectation())
print("heard", heard)
if sys.argv[1] == "error":
    raise SystemExit(3)
if sys.argv[1] == "wait":
    time.sleep(60)
keyboard.close()
"""


@pytest.fixture(params=["end", "error", "wait"])
def terminal(request: pytest.FixtureRequest) -> Iterator[PtyProgram]:
    """Run the program in a terminal; it ends by itself, by an error, or not at all."""
    made = PtyProgram([sys.executable, "-c", PROGRAM, request.param], {})
    yield made
    made.close()


def test_the_terminal_is_shared_and_comes_back(
    terminal: PtyProgram, request: pytest.FixtureRequest
) -> None:
    """A line of the walk goes above the one that is typed; whatever ends it, all is as before."""
    terminal.see("ready")
    assert not terminal.is_as_before
    terminal.type("one\r")
    terminal.see("a line of the walk")
    terminal.type("two poi")
    terminal.see("> two poi")
    terminal.type("nt five\r")
    terminal.see("heard Heard(words='two point five'")
    if "wait" in request.node.name:
        terminal.program.send_signal(signal.SIGTERM)
    code = terminal.end()
    assert code == (
        3 if "error" in request.node.name else -15 if "wait" in request.node.name else 0
    )
    assert terminal.is_as_before
