// Command goclient uses the service through a client that was generated from its OpenAPI file.
package main

import (
	"context"
	"fmt"
	"os"

	"client.example/client"
)

func main() {
	if err := run(context.Background(), os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, url string) error {
	c, err := client.NewClientWithResponses(url)
	if err != nil {
		return err
	}
	one, err := c.GetSpecWithResponse(ctx, "pl-85", "counter-shaft", "axial-play", &client.GetSpecParams{})
	if err != nil {
		return err
	}
	if one.JSON200 == nil {
		return fmt.Errorf("spec: %s", one.Status())
	}
	s := one.JSON200.Spec
	fmt.Println("spec", s.Key, *s.Unit, *s.Band.Lower, *s.Band.Upper)
	for _, caution := range one.JSON200.Cautions {
		fmt.Println("caution", caution.Code)
	}

	tag := one.HTTPResponse.Header.Get("ETag")
	again, err := c.GetSpecWithResponse(ctx, "pl-85", "counter-shaft", "axial-play", &client.GetSpecParams{IfNoneMatch: &tag})
	if err != nil {
		return err
	}
	fmt.Println("again", again.StatusCode())

	readings := []client.ReadingRequest{{Value: of(0.15)}, {Value: of(0.20)}, {Value: of(0.15)}}
	judged, err := c.EvaluateWithResponse(ctx, &client.EvaluateParams{}, client.EvaluateJSONRequestBody{Checks: []client.Check{{
		Id: of("1"), Spec: &s.Key, Unit: of("mm"), Readings: &readings,
		Instrument: &client.InstrumentRequest{Kind: of("dial"), StandardUncertainty: of(0.010)},
	}}})
	if err != nil {
		return err
	}
	if judged.JSON200 == nil {
		return fmt.Errorf("evaluation: %s", judged.Status())
	}
	for _, r := range judged.JSON200.Results {
		fmt.Println("verdict", r.Id, r.Verdict, r.Action, *r.Value)
	}

	none, err := c.GetSpecWithResponse(ctx, "pl-85", "counter-shaft", "none", &client.GetSpecParams{})
	if err != nil {
		return err
	}
	if none.ApplicationproblemJSON404 == nil {
		return fmt.Errorf("no such spec: %s", none.Status())
	}
	fmt.Println("problem", none.ApplicationproblemJSON404.Status, none.ApplicationproblemJSON404.Code)
	return nil
}

func of[T any](v T) *T { return &v }
