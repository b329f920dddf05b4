"""What the roles of a project ask of the shelf."""

from stashkeeper.actions.projects import LoadedProject
from stashkeeper.choosing.needs import Need
from stashkeeper.choosing.quilt_needs import needs_of_parts
from stashkeeper.quilts.quilt import parts


def needs_of_project(project: LoadedProject) -> tuple[Need, ...]:
    """Return what every role of a project asks for, its sets apart, by the wishes there are."""
    wishes = project.wishes
    return needs_of_parts(
        parts(project.quilt),
        {role: wish.value for role, wish in wishes.items()},
        {role: wish.fabrics for role, wish in wishes.items()},
    )
