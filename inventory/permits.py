"""Who may do what with gear."""

from inventory.base.roles import permit

permit(
    {
        "connector.read": "viewer",
        "spec.read": "viewer",
        "spec.edit": "planner",
        "unit.read": "viewer",
        "unit.edit": "planner",
        "location.read": "viewer",
        "location.edit": "planner",
        "kit.read": "viewer",
        "kit.edit": "planner",
        "check.request": "crew",
        "finding.answer": "crew",  # opens the form; whose finding it is to accept hangs on what it is about
        "finding.accept": "planner",
        "finding.accept-mains": "electrics",
        "fault.read": "viewer",
        "fault.report": "crew",
        "fault.judge": "planner",
        "repair.read": "viewer",
        "repair.record": "planner",
        "downtime.read": "viewer",
        "downtime.edit": "planner",
        "inspection.read": "viewer",
        "inspection.record": "planner",
        "money.read": "crew",
        "token.own": "viewer",
        "user.read": "viewer",
        "user.edit": "owner",
        "company.read": "viewer",
        "company.edit": "owner",
        "history.read": "viewer",
        "notice.read": "viewer",
    }
)
