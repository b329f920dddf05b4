"""Folder intake from a page: many photos and a list of sizes, taken in in the background."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from stashkeeper.actions.incoming import Upload
from stashkeeper.actions.intake_folders import IntakeFolders, UsualWords
from stashkeeper.actions.places import places
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadRequestError, StashkeeperError
from stashkeeper.transfer.photo_folder import PHOTO_ENDINGS
from stashkeeper.web.forms import FolderForm, Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import tags_of
from stashkeeper.web.show import Nav, go, page, wants_json
from stashkeeper.web.swatches import swatch_address
from stashkeeper.web.working import IntakesHere, far

NAV = Nav("Intake", "/intake", more=True)
UPLOADS = ("/intake", "/intake/{number}/photos")

PATIENCE = 1.5
"""Seconds until a page is shown that says how far the intake is."""

ABOUT = {"bad-size": "size", "bad-name": "at"}

router = APIRouter()


@router.get("/intake")
def show_intake(request: Request, stash: StashHere, folders: IntakesHere) -> Response:
    """Show where photos are chosen, and the intakes before."""
    return _begin_page(request, stash, folders, Form())


@router.post("/intake")
def begin(request: Request, stash: StashHere, folders: IntakesHere, form: FolderForm) -> Response:
    """Begin an intake with the photos that come along; a script sends its photos afterwards."""
    scripted = wants_json(request)
    try:
        if not scripted and not _uploads(form):
            raise BadRequestError("No photo was chosen.", "Choose photos, or a whole folder.")
        words = UsualWords(form.text("size"), form.text("at"), tags_of(form.text("tags")))
        number = folders.begin(words)
    except StashkeeperError as error:
        if scripted:
            raise
        again = form.with_trouble(error, ABOUT)
        return _begin_page(request, stash, folders, again, error.http_status)
    if scripted:
        return JSONResponse({"address": f"/intake/{number}"}, 201)
    return _sent(request, folders, number, form)


@router.post("/intake/{number}/photos")
def send_photos(request: Request, folders: IntakesHere, number: str, form: FolderForm) -> Response:
    """Keep more photos, or another list of sizes; without a script, go on with them at once."""
    if wants_json(request):
        sent = folders.send(number, _uploads(form), _listed(form))
        return JSONResponse({"kept": sent.kept, "passed_over": sent.passed_over}, 201)
    return _sent(request, folders, number, form)


@router.post("/intake/{number}/start")
def start(request: Request, folders: IntakesHere, number: str, _form: SentForm) -> Response:
    """Begin to measure what was sent, or go on with it."""
    folders.start(number)
    return go(request, f"/intake/{number}")


@router.post("/intake/{number}/away")
def put_away(request: Request, folders: IntakesHere, number: str, _form: SentForm) -> Response:
    """Throw the folder away; what was taken in stays."""
    folders.put_away(number)
    return go(request, "/intake", ["Put away. What was taken in stays in the stash."])


@router.get("/intake/{number}")
def look(
    request: Request,
    folders: IntakesHere,
    number: str,
    patience: Annotated[float, Query(ge=0, le=PATIENCE)] = PATIENCE,
) -> Response:
    """Show how far an intake is, or what came of it."""
    if wants_json(request):
        return JSONResponse(_told(folders, number, patience))
    return _folder_page(request, folders, number, Form(), patience=patience)


def _told(folders: IntakeFolders, number: str, patience: float) -> dict[str, object]:
    view = folders.look(number, patience)
    told = far(view.work)
    return told | {"finished": not view.measuring, "photos": folders.photos(number)}


def _sent(request: Request, folders: IntakeFolders, number: str, form: Form) -> Response:
    try:
        folders.send(number, _uploads(form), _listed(form))
    except StashkeeperError as error:
        again = form.with_trouble(error)
        return _folder_page(request, folders, number, again, error.http_status)
    folders.start(number)
    return go(request, f"/intake/{number}")


def _uploads(form: Form) -> list[Upload]:
    sent = (*form.files("photo"), *form.files("folder"))
    return [Upload(one.filename or "photo", one.file) for one in sent]


def _listed(form: Form) -> Upload | None:
    sent = form.files("sizes")
    return Upload(sent[0].filename or "sizes.csv", sent[0].file) if sent else None


def _begin_page(
    request: Request, stash: Stash, folders: IntakeFolders, form: Form, status: int = 200
) -> Response:
    return page(
        request,
        "intake.html",
        status=status,
        form=form,
        before=folders.all(),
        places=[place.path for place in places(stash).places],
        endings=",".join(PHOTO_ENDINGS),
    )


def _folder_page(
    request: Request,
    folders: IntakeFolders,
    number: str,
    form: Form,
    status: int = 200,
    patience: float = 0.0,
) -> Response:
    return page(
        request,
        "intake_folder.html",
        status=status,
        form=form,
        folder=folders.look(number, patience),
        swatch_address=swatch_address,
        endings=",".join(PHOTO_ENDINGS),
    )
