"""`python -m standclear.audit FILE [FOLDER]`: the checker by itself.

Status 0: it holds, and no file found beside it has changed; 1: refused or changed; 2: no answer.
"""

import sys
from pathlib import Path

from standclear.audit.audit import audit_file
from standclear.audit.read import Refused
from standclear.audit.words import lines_of


def main(words: list[str]) -> int:
    """Check the certificate named in `words` and print the answer."""
    if len(words) not in (1, 2):
        print(
            "give a certificate and, if its job lies elsewhere, the job's folder", file=sys.stderr
        )
        return 2
    try:
        audit = audit_file(Path(words[0]), Path(words[1]) if len(words) == 2 else None)
    except Refused as refused:
        print(f"refused: {refused}")
        return 1
    except OSError as error:
        print(f"{words[0]}: the file cannot be read ({error.strerror})", file=sys.stderr)
        return 2
    print("\n".join(lines_of(audit)))
    return int(bool(audit.changed))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
