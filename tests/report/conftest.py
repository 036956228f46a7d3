from __future__ import annotations

import pytest
from fixture_proof import clear_pin, pin

from standclear.proof.result import JobProof


@pytest.fixture
def contact() -> JobProof:
    return pin()


@pytest.fixture
def clear() -> JobProof:
    return clear_pin()
