"""What a lead said of a session, and the sounds that were kept, as words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.journal.clips import Clip, ClipState
from assistant.journal.remarks import Remark, Remarks, SignOff
from assistant.journal.signing import is_same_person
from assistant.report import labels
from assistant.report.labels import counted

CLIP_WORDS = {
    ClipState.KEPT: "kept",
    ClipState.PURGED: "not kept any more",
    ClipState.CHANGED: "changed since; not believed",
}
"""What became of a sound."""


@dataclass(frozen=True, slots=True)
class Reviewed:
    """What a lead said.

    Args:
        remarks: when, who, about what, and the remark.
        sign_offs: when, who, agrees or not with what, and why; the last one stands.
        standing: the sign-off that stands, in sentences; empty where nobody signed off.
        cares: of it, what stands at the top of a report: a disagreement, a technician's own.
        trouble: what is wrong with what was said, one sentence each.
    """

    remarks: tuple[tuple[str, str, str, str], ...]
    sign_offs: tuple[tuple[str, str, str, str], ...]
    standing: str
    cares: tuple[str, ...]
    trouble: tuple[str, ...]


def tell_remarks(remarks: Remarks, technician: str = "") -> Reviewed:
    """Tell remarks and sign-offs; none where nobody looked at the session.

    Args:
        remarks: what was said of it.
        technician: who walked it.
    """
    last = remarks.standing
    return Reviewed(
        remarks=tuple(_remark(one) for one in remarks.remarks),
        sign_offs=tuple(_sign_off(one) for one in remarks.sign_offs),
        standing="" if last is None else _standing(last, remarks, technician),
        cares=() if last is None else tuple(_cares(last, technician)),
        trouble=tuple(problem.sentence for problem in remarks.problems),
    )


def _remark(one: Remark) -> tuple[str, str, str, str]:
    about = f"line {one.line}" if one.line else "the whole session"
    return (labels.moment_words(one.time), one.author, about, one.text)


def _sign_off(one: SignOff) -> tuple[str, str, str, str]:
    return (labels.moment_words(one.time), one.author, judgement(one), one.why)


def judgement(one: SignOff) -> str:
    """Say what a sign-off says of the finding."""
    word = "agrees" if one.agrees else "does NOT agree"
    names = ", ".join(labels.spaced(name) for name in one.findings)
    return f"{word} with: {names}" if names else f"{word} that there is no finding"


def _cares(last: SignOff, technician: str) -> Iterator[str]:
    if not last.agrees:
        yield f"{last.author} {judgement(last)}. {last.why}".strip()
    if is_same_person(last.author, technician):
        yield f"{last.author} signed off what {last.author} walked: nobody else stands for it."


def _standing(last: SignOff, remarks: Remarks, technician: str) -> str:
    care = " What was said was changed or damaged since." if remarks.damage else ""
    own = f" {last.author} walked it too." if is_same_person(last.author, technician) else ""
    return f"{last.author} {judgement(last)}.{own}{care}"


def tell_clips(clips: Sequence[Clip]) -> tuple[tuple[str, str, str, str], ...]:
    """Tell each sound: when, the words heard, its hash, what became of it."""
    return tuple(
        (labels.moment_words(clip.time), clip.words, clip.hash, CLIP_WORDS[clip.state])
        for clip in clips
    )


def count_clips(clips: Sequence[Clip] | None) -> str:
    """Say how many sounds there are; empty where nobody asked for them."""
    if clips is None:
        return ""
    if not clips:
        return "No sound was kept in this session."
    kept = sum(clip.state is ClipState.KEPT for clip in clips)
    return f"{counted(len(clips), 'answer')} with a sound, {kept} of them kept."
