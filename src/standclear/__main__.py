"""`python -m standclear`: the same as the `standclear` command."""

from __future__ import annotations

from standclear.cli import main

if __name__ == "__main__":
    main()
