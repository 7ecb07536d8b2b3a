"""What can go wrong with gear, said so that the reader knows what to do."""

from inventory.base.errors import DomainError


class TagTakenError(DomainError):
    code = "tag-taken"
    title = "That tag is on another unit"
    advice = "Scan the tag to see the unit that has it. A retired tag stays with its unit for ever; take another."


class UnitTakenError(DomainError):
    code = "unit-taken"
    title = "That unit is packed elsewhere"
    advice = "Take it out of the place that holds it first, or pack another unit of the type."


class CaseTakenError(DomainError):
    code = "case-taken"
    title = "A kit has one case, and a case is of one kit"
    advice = "Take another case, or change the kit that has this one."


class PortTakenError(DomainError):
    code = "port-taken"
    title = "That port has a connection already"
    advice = "Unplug what is there, or use another port."


class KitInItselfError(DomainError):
    code = "kit-in-itself"
    title = "A kit cannot lie in itself"
    advice = "Take the case out of the inner kit first."


class PortInUseError(DomainError):
    code = "port-in-use"
    title = "A port that is to go is still used"
    advice = "Unplug what uses it, or close the faults that name it, then remove the port."


class UnitNotUsableError(DomainError):
    code = "unit-not-usable"
    title = "The unit cannot be used for that"
    advice = "It is retired or lost. Put it back into service first, or take another."


class NotYoursToAcceptError(DomainError):
    code = "not-yours-to-accept"
    title = "Your role does not accept this finding"
    status = 403
    advice = (
        "Planners and owners accept findings; those about mains, only somebody with the role electrics. "
        "Local codes and a licensed electrician decide."
    )


class LastOwnerError(DomainError):
    code = "last-owner"
    title = "Somebody has to be owner"
    advice = "Make another active person owner first, then change this one."


class FaultOpenError(DomainError):
    code = "fault-open"
    title = "A fault that keeps it from use is still open"
    advice = "Enter the repair that closes the fault, or say on the fault that the unit can be used with it."


class AlreadyBegunError(DomainError):
    code = "already-begun"
    title = "The first owner is set up already"
    advice = "Sign in, or ask an owner of the company for an account of your own."


class ContentsRefusedError(DomainError):
    code = "contents-refused"
    title = "What is in the kit cannot be worked out"
    advice = "Correct on the data sheet what 'detail' names: an old sheet may name what is in no register any more."


class DrawingUnavailableError(DomainError):
    code = "drawing-unavailable"
    title = "The wiring cannot be drawn here"
    status = 503
    advice = "The connections are listed as a table on the kit's page. Tell the owner what 'detail' says."


class TestNeededError(DomainError):
    __test__ = False  # an error, and no class of tests
    code = "test-needed"
    title = "It has to be tested first"
    advice = (
        "Record the passed test of the unit (inspections), then the repair; or say in 'waiver' why none is needed. "
        "Local codes and a licensed electrician decide what is tested."
    )


class ForElectricsError(DomainError):
    code = "for-electrics"
    title = "A person for electrics releases it"
    status = 403
    advice = (
        "The damage can lay bare what must not be touched. Ask somebody with the role electrics, who gives a reason in "
        "'note'. Local codes and a licensed electrician decide."
    )
