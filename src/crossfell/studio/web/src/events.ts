// How a window learns that something changed elsewhere: small events over a WebSocket.

export interface Told { event: "piece" | "pieces"; piece?: string; revision?: number; by?: string; workshop?: boolean }

const LONGEST_WAIT_MS = 5000;

/** Listen until the returned function is called; comes back by itself when the channel breaks. */
export function listen(told: (event: Told) => void, connected: (yes: boolean) => void): () => void {
  let socket: WebSocket | null = null;
  let wait = 250;
  let over = false;
  let timer = 0;
  const open = () => {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    socket = new WebSocket(`${scheme}://${location.host}/events`);
    socket.onopen = () => {
      wait = 250;
      connected(true);
    };
    socket.onmessage = (message) => told(JSON.parse(String(message.data)) as Told);
    socket.onclose = () => {
      if (over) return;
      connected(false);
      timer = window.setTimeout(open, wait);
      wait = Math.min(wait * 2, LONGEST_WAIT_MS);
    };
  };
  open();
  return () => {
    over = true;
    clearTimeout(timer);
    socket?.close();
  };
}
