"""What all commands share: the application they belong to, their options' manner, a complaint."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from cyclopts import App, Group, Parameter

from assistant import __version__
from assistant.errors import RungsideError

app = App(
    name="rungside",
    version=__version__,
    version_flags=["--version"],
    help="Find a blower motor's fault by voice, one safe step at a time. `rungside demo` shows it.",
    help_format="plaintext",
    default_parameter=Parameter(negative=()),
    suppress_keyboard_interrupt=False,
)

ENDS = Group("Where answers come from and words go")
Many = Parameter(consume_multiple=True, negative=())


class UsageError(RungsideError):
    """The command line asks for something that does not go together."""


@contextmanager
def as_usage() -> Iterator[None]:
    """Take what is wrong with an option's own words for wrong usage.

    Raises:
        UsageError: in place of any other error, with the same sentence.
    """
    try:
        yield
    except RungsideError as error:
        raise UsageError(error.message, error.hint) from error


def check_recogniser(name: str | None) -> None:
    """See that `--recogniser` names one, also where nothing will be heard.

    Raises:
        UsageError: when there is none of that name.
    """
    if name is not None:
        from assistant.ears.makers import check_name

        with as_usage():
            check_name(name)


def complain(sentence: str, code: int) -> int:
    """Say one sentence on stderr, as far as that can be written, and give the exit code."""
    with suppress(OSError):
        print(f"rungside: {sentence}", file=sys.stderr)
    return code
