"""Projects on the command line: projects, and project new, show, change, end."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from stashkeeper.cli.faults import SpeakingGroup
from stashkeeper.cli.options import Json, StashFolder, open_stash, taking
from stashkeeper.cli.show import answer, table

if TYPE_CHECKING:
    from stashkeeper.actions.project_view import ProjectView
    from stashkeeper.actions.project_words import ProjectWords

Name = Annotated[str, typer.Argument(metavar="PROJECT", help="What the project is called.")]
LayoutName = Annotated[
    str | None,
    typer.Option(
        "--layout",
        metavar="LAYOUT",
        help="A traditional layout, such as pinwheel, or a layout file.",
    ),
]
Unit = Annotated[
    str | None, typer.Option("--unit", metavar="L", help='The finished side of a unit: "4 in".')
]
Columns = Annotated[int | None, typer.Option("--columns", metavar="N", help="Units across.")]
Rows = Annotated[int | None, typer.Option("--rows", metavar="N", help="Units down.")]
Turn = Annotated[int | None, typer.Option("--turn", metavar="N", help="Quarter turns, clockwise.")]
Mirror = Annotated[
    bool | None, typer.Option("--mirror/--no-mirror", help="Exchange left and right.")
]
Exchange = Annotated[
    list[str] | None,
    typer.Option("--exchange", metavar="A,B", help="Two roles that change places; repeatable."),
]
SashWidth = Annotated[
    str | None,
    typer.Option("--sash", metavar="ROLE: L", help='Sashing: "sashing: 1 1/2 in"; none for none.'),
]
Cornerstones = Annotated[
    str | None,
    typer.Option("--cornerstones", metavar="ROLE", help="Squares of this where sashing crosses."),
]
Frame = Annotated[
    bool | None, typer.Option("--frame/--no-frame", help="Sashing all around as well.")
]
OnPoint = Annotated[
    str | None,
    typer.Option(
        "--on-point", metavar="ROLE", help="Blocks on point, triangles of this; none for none."
    ),
]
Between = Annotated[
    str | None,
    typer.Option("--between", metavar="ROLE", help="Squares of this between blocks on point."),
]
Borders = Annotated[
    list[str] | None,
    typer.Option(
        "--border",
        metavar="ROLE: L",
        help='A border, from the innermost out: "frame: 2 in mitred"; repeatable; none for none.',
    ),
]
Roles = Annotated[
    list[str] | None,
    typer.Option(
        "--role",
        metavar="ROLE: WISH",
        help='"background: light, 2 fabrics"; any for any value, any number for as many fabrics '
        "as it takes; repeatable.",
    ),
]
HalfSquares = Annotated[
    int | None,
    typer.Option("--half-squares", metavar="N", help="Half-square triangles 2, 4 or 8 at a time."),
]
Geese = Annotated[
    int | None, typer.Option("--geese", metavar="N", help="Flying geese 1 or 4 at a time.")
]
Exact = Annotated[
    bool | None,
    typer.Option("--exact/--trimmed", help="Cut units exactly, or large to be trimmed (usual)."),
]
Seam = Annotated[
    str | None, typer.Option("--seam", metavar="L", help="The seam allowance; 1/4 in is usual.")
]


@dataclass(frozen=True, slots=True)
class MakingOptions:
    """How a project is made: the options that `new` and `change` share."""

    layout: LayoutName = None
    unit: Unit = None
    columns: Columns = None
    rows: Rows = None
    turn: Turn = None
    mirror: Mirror = None
    exchange: Exchange = None
    sash: SashWidth = None
    cornerstones: Cornerstones = None
    frame: Frame = None
    on_point: OnPoint = None
    between: Between = None
    border: Borders = None
    role: Roles = None
    half_squares: HalfSquares = None
    geese: Geese = None
    exact: Exact = None
    seam: Seam = None

    def words(self) -> "ProjectWords":
        """Return them as the action takes them."""
        from stashkeeper.actions.project_words import ProjectWords

        return ProjectWords(
            self.layout, self.unit, self.columns, self.rows, self.turn, self.mirror,
            self.exchange or (), self.sash, self.cornerstones, self.frame, self.on_point,
            self.between, self.border or (), self.role or (), self.half_squares, self.geese,
            self.exact, self.seam,
        )  # fmt: skip


@taking(MakingOptions, "making")
def new(
    context: typer.Context,
    name: Name,
    making: MakingOptions,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Begin a project: `project new Harbour --layout pinwheel --unit "4 in"`."""
    from stashkeeper.actions import projects

    with open_stash(context, stash) as shelf:
        done = projects.new(shelf, name, making.words())
    answer(done, as_json, (*done.sentences, *_told(done.project)))


@taking(MakingOptions, "making")
def change(
    context: typer.Context,
    name: Name,
    new_name: Annotated[
        str | None, typer.Option("--name", metavar="NAME", help="What it is to be called.")
    ] = None,
    *,
    making: MakingOptions,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Change a project; what is not typed stays as it is."""
    from stashkeeper.actions import projects

    with open_stash(context, stash) as shelf:
        done = projects.change(shelf, name, making.words(), new_name=new_name)
    answer(done, as_json, (*done.sentences, *_told(done.project)))


def show(
    context: typer.Context, name: Name, as_json: Json = False, stash: StashFolder = None
) -> None:
    """Show a project: its sizes, its units, what each role needs, and the pieces chosen."""
    from stashkeeper.actions import projects

    with open_stash(context, stash) as shelf:
        found = projects.show(shelf, name)
    answer(found, as_json, _told(found))


def end(
    context: typer.Context, name: Name, as_json: Json = False, stash: StashFolder = None
) -> None:
    """End a project: it stays on record, and its pieces are reserved no longer."""
    from stashkeeper.actions import projects

    with open_stash(context, stash) as shelf:
        done = projects.end(shelf, name)
    answer(done, as_json, done.sentences)


def list_projects(context: typer.Context, as_json: Json = False, stash: StashFolder = None) -> None:
    """List the projects: those under way first."""
    from stashkeeper.actions.project_list import list_all

    with open_stash(context, stash) as shelf:
        found = list_all(shelf)
    rows = found.rows()
    answer(found, as_json, [table(found.headings, rows) if rows else "", *found.sentences])


def _told(view: "ProjectView") -> list[str]:
    return [*view.sentences, " ", table(view.headings, view.table_rows()), *view.remarks]


project = typer.Typer(
    cls=SpeakingGroup,
    help="A quilt to be, and the pieces chosen for it: new, show, change, end.",
    no_args_is_help=True,
)

for _name, _command in (("new", new), ("show", show), ("change", change), ("end", end)):
    project.command(_name)(_command)
