"""Microphone and loudspeaker of a walk, by the settings, with what is told of them."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.desk.announcing import Announcer
from assistant.desk.keyboard import check_talk_key
from assistant.ears.talk import TalkKey, TalkMode
from assistant.settings import Settings

if TYPE_CHECKING:
    from assistant.ears.listening import Keep
    from assistant.ears.microphone import MicrophoneEars
    from assistant.ears.recogniser import Recogniser
    from assistant.voice.hushing import Hushable


class SoundEnds:
    """Opens microphone and loudspeaker, and tells what becomes of them.

    Args:
        settings: which, and how.
        show: shows one sentence about them.
    """

    def __init__(self, settings: Settings, show: Callable[[str], None]) -> None:
        self._settings = settings
        self._announcer = Announcer(show)

    def open_voice(self) -> "Hushable":
        """Open the voice; a loudspeaker that is not there is told of, and used when it is."""
        from assistant.desk.overheard import OverheardVoice
        from assistant.voice.aloud import Manner, SpokenVoice
        from assistant.voice.player import Player, open_loudspeaker
        from assistant.voice.synthesis import Synthesiser
        from assistant.voice.watched import WatchedLoudspeaker

        settings, announcer = self._settings, self._announcer
        player = Player(lambda rate: open_loudspeaker(rate, settings.speaker))
        watch = WatchedLoudspeaker(
            settings.speaker, announcer.tell, announcer.tell_back, player.stop
        )
        watch.begin()
        spoken = announcer.voice = SpokenVoice(
            Synthesiser(),
            player,
            announcer.tell,
            manner=Manner(settings.voice_name, settings.voice_rate, settings.voice_volume),
            watch=watch,
        )
        return OverheardVoice(spoken, lambda: announcer.ears) if settings.barge_in else spoken

    def open_microphone(
        self, recogniser: "Recogniser", keep: "Keep", *, is_alone: bool = False
    ) -> "MicrophoneEars":
        """Open the microphone; one that is not there is told of, and heard when it is.

        Raises:
            EarsError: when it is not there and nothing else can answer.
            DeskError: when the talk key is no key.
        """
        from assistant.ears.endpoint import Patience
        from assistant.ears.microphone import Manner, MicrophoneEars

        settings = self._settings
        manner = Manner(
            device=settings.microphone,
            patience=Patience(before=settings.patience),
            talk=TalkKey(TalkMode(settings.talk), check_talk_key(settings.talk_key)),
            tail=settings.tail,
            is_alone=is_alone,
        )
        ears = MicrophoneEars(recogniser, manner, keep=keep, tell=self._announcer.tell)
        self._announcer.ears = ears
        return ears

    def close(self) -> None:
        """Tell nothing more; ears and voice are closed by who has them."""
        self._announcer.close()
