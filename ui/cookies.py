"""Names that pages and routes share."""

SESSION_COOKIE = "givens-session"
