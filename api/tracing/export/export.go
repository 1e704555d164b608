// Package export sends what requests did to a collector of OpenTelemetry, over OTLP and HTTP.
//
// It decides what a span of a request says (semantic conventions of OpenTelemetry for HTTP servers: name, method, route,
// status). It refuses to know bodies, queries and keys: none of them is in a span. The environment says where to and how
// much (OTEL_EXPORTER_OTLP_ENDPOINT, OTEL_EXPORTER_OTLP_HEADERS, OTEL_TRACES_SAMPLER, OTEL_SERVICE_NAME and others of
// the OpenTelemetry specification); without an endpoint there is no Tracer and no cost.
//
//	if export.Wanted(os.Getenv) {
//		tracer, err := export.New(ctx, "1.0")
//		…
//		defer tracer.Close(ctx)
//	}
package export

import (
	"context"
	"net/http"
	"time"

	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/propagation"
	"go.opentelemetry.io/otel/sdk/resource"
	sdk "go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/trace"
)

// Wanted reports whether the environment names a collector.
func Wanted(env func(string) string) bool {
	return env("OTEL_EXPORTER_OTLP_ENDPOINT") != "" || env("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT") != ""
}

// Tracer records requests as spans and sends them in the background; what a slow collector cannot take is dropped. It is
// safe for concurrent use.
type Tracer struct {
	provider *sdk.TracerProvider
	tracer   trace.Tracer
	reads    propagation.TraceContext
}

// New begins to send. Nothing is sent yet, so that a collector that is away does not hinder the start. Errors: settings
// in the environment that cannot be used.
func New(ctx context.Context, version string) (*Tracer, error) {
	exporter, err := otlptracehttp.New(ctx)
	if err != nil {
		return nil, err
	}
	about, err := resource.New(ctx,
		resource.WithAttributes(attribute.String("service.name", "endfloat"), attribute.String("service.version", version)),
		resource.WithTelemetrySDK(), resource.WithFromEnv())
	if err != nil {
		return nil, err
	}
	p := sdk.NewTracerProvider(sdk.WithBatcher(exporter), sdk.WithResource(about))
	return &Tracer{provider: p, tracer: p.Tracer("endfloat/api")}, nil
}

// Begin starts the span of a request, below that of the caller where a valid traceparent names one. The context carries
// it; response names it as in the header field traceresponse (W3C Trace Context Level 2, working draft of 2021, section
// 4.2), so that a caller finds our side of a request; end is called once.
func (t *Tracer) Begin(r *http.Request, route string, began time.Time) (ctx context.Context, response string, end func(status int)) {
	parent := t.reads.Extract(r.Context(), propagation.HeaderCarrier(r.Header))
	ctx, span := t.tracer.Start(parent, r.Method+" "+route, trace.WithSpanKind(trace.SpanKindServer), trace.WithTimestamp(began),
		trace.WithAttributes(attribute.String("http.request.method", r.Method), attribute.String("http.route", route)))
	return ctx, named(span.SpanContext()), func(status int) {
		span.SetAttributes(attribute.Int("http.response.status_code", status))
		if status >= http.StatusInternalServerError {
			span.SetStatus(codes.Error, "")
		}
		span.End()
	}
}

func named(c trace.SpanContext) string {
	return "00-" + c.TraceID().String() + "-" + c.SpanID().String() + "-" + c.TraceFlags().String()
}

// Close sends what is left and ends, before ctx does.
func (t *Tracer) Close(ctx context.Context) error { return t.provider.Shutdown(ctx) }
