"""Going to a stop of the tour in a browser."""

from playwright.sync_api import Page, expect

from tests.browser.tour import Stop


def go(page: Page, stop: Stop) -> int | None:
    """Go to a stop, wait for the parts that its scripts ask for, and return the status of the answer."""
    if not stop.sent:
        answer = page.goto(stop.address)
    else:
        if page.locator("[name=csrfmiddlewaretoken]").count() == 0:
            page.goto("/sign-in/")
        with page.expect_navigation() as sending:
            page.evaluate(SEND, [stop.address, stop.sent])
        answer = sending.value
    expect(page.locator("[data-hx-trigger=load]")).to_have_count(0, timeout=30_000)
    return answer.status if answer is not None else None


SEND = """([address, sent]) => {
    const form = document.createElement('form');
    const mark = document.querySelector('[name=csrfmiddlewaretoken]');
    Object.assign(form, {method: 'post', action: address, hidden: true});
    for (const [name, value] of Object.entries({csrfmiddlewaretoken: mark.value, ...sent})) {
        form.append(Object.assign(document.createElement('input'), {name, value}));
    }
    document.body.append(form);
    form.submit();
}"""
