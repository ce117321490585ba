"""What is said near the tool and is no answer to it: trade talk, small talk, numbers in passing.

Wording is ours. Each list is said by every voice of its part; none of the sentences is an answer to
a step, and no number in them is a reading for the tool.
"""

TRADE_TALK = (
    "Did you bring the small nut driver up with you",
    "That panel is a pain to get back on",
    "The homeowner says it was loud all summer",
    "I think the filter has not been changed in years",
    "Hand me the flashlight would you",
    "Somebody taped over the door switch again",
    "We should order the board before the shop closes",
    "Watch your step the ladder is wet",
    "This insulation is soaked all the way through",
    "Let me call the supply house and see what they have",
    "The wiring diagram is gone from the door",
    "My battery is about dead on this drill",
)

SMALL_TALK = (
    "Looks like it is going to rain this afternoon",
    "Did you watch the game last night",
    "My kids start school next week",
    "I could really use a cup of coffee",
    "Traffic on the bridge was terrible this morning",
    "He told me he is moving to another crew",
    "We are going fishing if the weather holds",
    "That dog has been barking since we got here",
    "Tell the office we are running late",
    "It was so hot in that attic I had to sit down",
    "She makes the best chili you ever had",
    "Where did you park the truck",
)

NUMBERS_IN_PASSING = (
    "I told him two hours ago that it would not work",
    "We have got fifteen of those on the truck",
    "It was ninety five in the shade yesterday",
    "That one cost me forty dollars",
    "The next call is at three thirty",
    "There were seven people in that house",
    "I have been doing this for twenty two years",
    "Turn left on highway one eighteen",
    "He lives at two forty Maple Street",
    "My number is five five five oh one eight two",
    "They want a three ton unit by Friday",
    "It took us about an hour and a half",
    "We need a twenty foot ladder for that one",
    "Half of them were broken when they came",
    "The first two were bad and the third one was fine",
    "Chapter nine was the only one I read",
)

PROMPTS = (
    "Put one lead on common and the other on the low tap. What does the meter read in ohms?",
    "Seventeen point five ohms on low. Good. Next, the medium lead.",
    "Is the disconnect pulled, locked and tagged?",
    "One one eight point five volts? Yes or no?",
    "Say that again, please, one digit at a time.",
    "The capacitor is weak. It reads thirty six, and forty five is printed on it.",
    "Turn the wheel by hand. Does it turn free, drag, or is it stuck?",
    "Careful. The capacitor may still be charged. Say capacitor is bled when it is.",
)
"""What the tool's own voice says when it leaks back; in the manner of its prompts, not copied."""

ALL_TALK = (*TRADE_TALK, *SMALL_TALK, *NUMBERS_IN_PASSING)
