"""What goes wrong with a session on disk, as one sentence."""

import errno

from assistant.errors import RungsideError


class JournalError(RungsideError):
    """A session cannot be made, continued, written, sealed or found."""


_FULL = {errno.ENOSPC, errno.EDQUOT}
_REFUSED = {errno.EACCES, errno.EPERM, errno.EROFS}


def journal_error(doing: str, error: OSError) -> JournalError:
    """Turn what the system said into one sentence.

    Args:
        doing: what was not done, as "The session in /x could not be written".
        error: what the system raised.
    """
    if error.errno in _FULL:
        return JournalError(f"{doing}: the disk is full.", "Free some space, then try again.")
    if error.errno in _REFUSED:
        return JournalError(
            f"{doing}: this user may not write there.", "Choose a folder that you may write to."
        )
    if error.errno == errno.EIO:
        return JournalError(f"{doing}: the disk reported a fault.", "Use another disk or folder.")
    reason = error.strerror or type(error).__name__
    return JournalError(f"{doing}: {reason[:1].lower()}{reason[1:]}.", "Check the disk and folder.")
