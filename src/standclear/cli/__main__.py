"""`python -m standclear.cli`, the same as the `standclear` command."""

from standclear.cli import main

main()
