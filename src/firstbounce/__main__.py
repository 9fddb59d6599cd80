"""`python -m firstbounce` is the same as `firstbounce`."""

from firstbounce.cli import main

main()
