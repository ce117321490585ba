"""`python -m assistant` is the command `rungside`."""

from assistant.cli import main

main()
