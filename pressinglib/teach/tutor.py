"""What a tutor needs in a notebook, in one place."""

from pressinglib.teach.accepted import Accepted
from pressinglib.teach.answer_file import Progress, progress_of
from pressinglib.teach.class_results import ClassResults, exercises_of, read_class, read_exercises
from pressinglib.teach.handout import Handout, saved
from pressinglib.teach.own_exercise import KINDS, load_exercise, make_exercise, save_exercise
from pressinglib.teach.practice import Practice
from pressinglib.teach.slides import save_slides, slides_of

__all__ = [
    "KINDS", "Accepted", "ClassResults", "Handout", "Practice", "Progress", "exercises_of", "load_exercise",
    "make_exercise", "progress_of", "read_class", "read_exercises", "save_exercise", "save_slides", "saved",
    "slides_of",
]
