"""The command line: one module a group of commands.

Heavy parts are imported where they are used, so that help comes at once. Exit status: 0 clear and
nothing above `note`; 1 any other answer; 2 no answer. With several jobs the highest counts.
"""

from standclear.cli.base import app, main
from standclear.cli.commands.amending import amend
from standclear.cli.commands.certifying import audit
from standclear.cli.commands.checking import check
from standclear.cli.commands.comparing import compare
from standclear.cli.commands.correcting import correct
from standclear.cli.commands.costing import cost
from standclear.cli.commands.drafting import new
from standclear.cli.commands.drawing import draw
from standclear.cli.commands.explaining import explain, schema
from standclear.cli.commands.loading import load
from standclear.cli.commands.paging import page
from standclear.cli.commands.planning import plan
from standclear.cli.commands.proving import prove
from standclear.cli.commands.restarting import restart
from standclear.cli.commands.sheeting import sheet
from standclear.cli.commands.sorting import box
from standclear.cli.commands.stock import stock
from standclear.cli.commands.timing import time

COMMANDS = (
    prove,
    draw,
    sheet,
    audit,
    plan,
    amend,
    check,
    correct,
    box,
    restart,
    compare,
    stock,
    time,
    load,
    cost,
    page,
    explain,
    new,
    schema,
)
for command in COMMANDS:
    app.command()(command)

__all__ = ["app", "main"]
