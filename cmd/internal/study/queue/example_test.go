package queue_test

import (
	"context"
	"fmt"
	"time"

	"noonkeep/cmd/internal/study/queue"
)

// A study of one task, led and worked on in one process.
func Example() {
	ctx := context.Background()
	conn, err := queue.Embedded(ctx)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer conn.Close()
	lead, err := conn.Lead(ctx, queue.Study{ID: "dyehouse", Owner: "anna", State: queue.Open, Of: 1})
	fmt.Println("lead:", err)
	fmt.Println("add:", lead.Add(ctx, "key", []byte("case 0")))

	job, err := conn.Next(ctx, "dyehouse", time.Minute)
	fmt.Printf("job: %s, try %d, %v\n", job.Body, job.Tries, err)
	fmt.Println("report:", conn.Report(ctx, "dyehouse", "key", []byte("row of case 0")))
	fmt.Println("done:", job.Done(ctx))

	results, _ := lead.Results(ctx)
	r := <-results
	fmt.Printf("result: %s, %v\n", r.Body, r.Ack(ctx))
	_, err = lead.Beat(ctx, queue.Study{State: queue.Ended, Done: 1})
	fmt.Println("beat:", err, "clear:", lead.Clear(ctx))
	// Output:
	// lead: <nil>
	// add: <nil>
	// job: case 0, try 1, <nil>
	// report: <nil>
	// done: <nil>
	// result: row of case 0, <nil>
	// beat: <nil> clear: <nil>
}
