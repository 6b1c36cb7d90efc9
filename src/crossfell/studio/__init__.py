"""The studio in the browser: a server that keeps drafts, and a thin client that shows them."""
