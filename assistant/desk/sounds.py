"""The sound of answers, kept in a session where that was asked for; said aloud before the first."""

import io
import sys
import wave
from contextlib import closing, suppress
from pathlib import Path

from assistant.ears.sound import RATE, Samples, Sound
from assistant.journal.clips import CLIPS
from assistant.journal.errors import JournalError, journal_error
from assistant.journal.files import DiskFiles
from assistant.journal.session import Session
from assistant.journal.writer import Writer
from assistant.walk.ends import Role, Utterance, Voice

KEPT = "sound_kept"
"""The event that says that from here on the sound of answers is kept."""

NOTICE = "The sound of your answers is kept in this session."


class SoundKeeper:
    """Keeps the sound of answers beside the journal of the session that is being walked."""

    def __init__(self) -> None:
        self._folder: Path | None = None

    def begin(self, session: Session, voice: Voice) -> None:
        """Keep from here on, in this session: first on record, then said.

        Raises:
            JournalError: when it cannot be recorded.
        """
        if session.state.is_over:
            return
        session.journal.append([{"kind": KEPT, "notice": NOTICE}])
        voice.say(Utterance(Role.NOTICE, NOTICE))
        self._folder = session.journal.folder

    def __call__(self, samples: Samples) -> str:
        """Keep one answer and give the hash it is kept under; one that cannot be kept has none."""
        if self._folder is None:
            return ""
        name = Sound(samples).fingerprint
        try:
            keep_clip(self._folder, f"{name}.wav", wav(samples))
        except JournalError as error:
            print(f"rungside: {error}", file=sys.stderr)
            return ""
        return name


def wav(samples: Samples) -> bytes:
    """Write mono sound of 16 bit as a WAV file's content."""
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.astype("<i2").tobytes())
    return content.getvalue()


def keep_clip(folder: Path, name: str, content: bytes) -> None:
    """Write a sound beside a journal, private and synced; the same sound is kept once.

    Raises:
        JournalError: when it cannot be kept; nothing of it is then there.
    """
    files, clips = DiskFiles(), folder / CLIPS
    file = clips / name
    try:
        if not clips.is_dir():
            files.make_folder(clips)
        made = files.create(file)
    except FileExistsError:
        return
    except OSError as error:
        raise journal_error(f"The sound of an answer in {folder} is not kept", error) from error
    try:
        with closing(made):
            Writer(made, 0, "The sound of an answer").put(content)
        files.sync_folder(clips)
    except (OSError, JournalError) as error:
        with suppress(OSError):
            files.remove(file)
        if isinstance(error, OSError):
            raise journal_error("The sound of an answer is not kept", error) from error
        raise
