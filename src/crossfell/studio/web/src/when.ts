// A moment, as she reads it.

export function when(made: string): string {
  return new Date(made).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
}
