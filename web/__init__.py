"""Pages for people: server-rendered, readable without a script, in our own words and our own look.

| where | what |
| --- | --- |
| ``page.py`` | the base of every page: who may see it, how it writes, how it refuses without losing what was typed |
| ``forms.py``, ``kept.py`` | what is typed: read, shown again, kept while somebody signs in |
| ``views/`` | one module per page; each builds one typed view-model and names one template |
| ``components/`` | one module per figure: the dataclass it is drawn from, and how it is made from what selectors show |
| ``templatetags/components.py`` | the tags that draw them; ``/components/`` shows every one in every state |
| ``templates/web/`` | ``pages/`` whole pages, ``parts/`` what a script swaps in, ``components/`` figures |
| ``docs/`` | the pages under ``/docs/``, in Markdown |
| ``static/web/`` | the look; ``static/vendor/`` what others wrote, with its licence |

Nothing here has a table or a rule: pages read selectors and call services, as the interface does.
"""
