"""How the studio is called by its own page."""

HOST = "127.0.0.1:8765"
SECRET = "a-secret-of-this-start"


class Client:
    """Calls the studio as its own page does."""

    def __init__(self, http):
        self.http = http

    def call(self, name, /, status=200, **asked):
        headers = {"origin": f"http://{HOST}"}
        answer = self.http.post(f"/api/{name}", json=asked, headers=headers)
        assert answer.status_code == status, answer.text
        return answer.json()
