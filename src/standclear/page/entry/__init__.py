"""The form that makes and edits a job: data first, then what is typed, then the page."""
