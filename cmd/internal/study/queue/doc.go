// Package queue hands work out to any number of machines and gathers what comes back, over NATS JetStream.
//
// Start with [Dial] or [Embedded], then [Conn.Lead] on the side that hands out and [Conn.Watch] and [Conn.Next] on the side
// that works. What stands in a message is bytes; only their sender and their taker know what they mean.
//
// On the server stand, each made by whoever needs it first:
//
//   - noonkeep-tasks, a work queue: a task stays until a worker says that it is done, and goes to another worker when
//     its worker is silent for [Options].Silence.
//   - noonkeep-results, a work queue that takes a limited number of results: [Conn.Report] waits while it is full.
//   - noonkeep-inputs, an object store: inputs by their SHA-256, and results too large for a message.
//   - noonkeep-studies and noonkeep-workers, key-value buckets.
//
// Promised: what a call has returned from without error is kept by the server; tasks and results are delivered at least once.
// Every call goes on when the server is killed and started again, until its context ends. A server that has lost what it
// held is an [ErrLost]. Times are compared by the server's clock alone.
//
// All that is untouched for 90 days is forgotten (common practice, no source).
//
// Not here: what a task is, which cases are done (crew); watching over servers, which is their operator's.
package queue
