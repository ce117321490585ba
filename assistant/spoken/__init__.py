"""Words to meaning and back, without sound: numbers, choices, commands, confusions, phrasing."""
