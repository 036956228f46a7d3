"""The one table of the form: every section, group and field, in the order of the page."""

from standclear.page.entry.table.blank import BLANK
from standclear.page.entry.table.control import MACHINE
from standclear.page.entry.table.jaws import JAWS
from standclear.page.entry.table.part import PART
from standclear.page.entry.table.rest import JOB, REST, SHOP
from standclear.page.entry.table.setups import SETUPS
from standclear.page.entry.table.tools import TOOLS

SECTIONS = (JOB, BLANK, PART, JAWS, TOOLS, SETUPS, MACHINE, REST, SHOP)

__all__ = ["SECTIONS"]
