import { render } from "preact";
import { App } from "./app";

const root = document.getElementById("studio");
if (root) render(<App />, root);
