/** Ticks every 25 ms from a worker, where a busy page cannot delay it as much as a timer of its own. */
setInterval(() => postMessage(0), 25)
