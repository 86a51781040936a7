from .accepted import Accepted
from .answer_file import Progress, progress_of
from .charts import Chart, danger_chart, jobs, share_chart, side_by_side
from .choices import Band, Choose, NameFault, OrderSteps, SetNumber
from .class_results import ClassResults, read_class
from .course import Course, read_exercises
from .criteria import Criterion, DenyOption, PlacePlayers, criterion
from .desk import Desk, Homework, MarkClass
from .exercise import Card, Exercise, Finding, Judge, Verdict
from .explanation import asks_of
from .handout import Booklet, save_slides, slides_of
from .line_questions import HoldStepDrop
from .own_exercise import KINDS, load_exercise, make_exercise, save_exercise
from .page_exercises import save_page
from .pictures import drawn, placed, towards
from .practice import Practice, PracticeCard, PracticeDesk, lesson_practice
from .press_questions import Race, SteerSide, WhoPresses, WriteRule
from .stand import Denial, MarkGaps, Stand
from .widget import TryIt, lessons_so_far

__all__ = [
    "KINDS", "Accepted", "Band", "Booklet", "Card", "Chart", "Choose", "ClassResults", "Course", "Criterion", "Denial",
    "DenyOption", "Desk", "Exercise", "Finding", "HoldStepDrop", "Homework", "Judge", "MarkClass", "MarkGaps",
    "NameFault", "OrderSteps", "PlacePlayers", "Practice", "PracticeCard", "PracticeDesk", "Progress", "Race",
    "SetNumber", "Stand", "SteerSide", "TryIt", "Verdict", "WhoPresses", "WriteRule", "asks_of", "criterion",
    "danger_chart", "drawn", "jobs", "lesson_practice", "lessons_so_far", "load_exercise", "make_exercise", "placed",
    "progress_of", "read_class", "read_exercises", "save_exercise", "save_page", "save_slides", "share_chart",
    "side_by_side", "slides_of", "towards",
]
