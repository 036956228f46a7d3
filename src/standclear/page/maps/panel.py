"""The panel of the stock map and the length budget."""

from __future__ import annotations

from standclear.page.maps.data import budget_data, maps_data, rack_data
from standclear.page.panels import on_bench
from standclear.page.working import asked

PANEL = on_bench(
    __file__,
    "Which blanks would do",
    asked("maps.json", maps_data),
    asked("rack.json", rack_data),
    asked("budget.json", budget_data),
)
