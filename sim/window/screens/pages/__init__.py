"""The pages of the folder on the desk."""

from sim.window.screens.pages.buildsheet import BuildSheetPage
from sim.window.screens.pages.calibrate import CalibratePage
from sim.window.screens.pages.card import CardPage
from sim.window.screens.pages.helper import HelperPage
from sim.window.screens.pages.lists import ChecksPage, PartsPage, PeoplePage
from sim.window.screens.pages.log import LogPage
from sim.window.screens.pages.setup import SetupPage
from sim.window.screens.pages.squawks import SquawksPage
from sim.window.screens.workplace import Page

PAGES: tuple[type[Page], ...] = (
    CardPage,
    ChecksPage,
    SetupPage,
    CalibratePage,
    PartsPage,
    PeoplePage,
    SquawksPage,
    LogPage,
    BuildSheetPage,
    HelperPage,
)  # in the order of their dividers
