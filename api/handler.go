package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"endfloat/api/rim"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// adapt is the one bridge between gin and our handlers.
func (s *server) adapt(route *rim.Route) gin.HandlerFunc {
	answer := s.compute
	if route.Method == http.MethodGet {
		answer = s.lookUp
	}
	return func(c *gin.Context) {
		began, id := time.Now(), ""
		s.watch.flights[route.Class].Add(1)
		var end func(int)
		if s.watch.tracer != nil {
			c.Request, end = s.watch.traced(c.Writer, c.Request, route, began)
		}
		defer func() {
			s.watch.flights[route.Class].Add(-1)
			s.watch.answered(c.Request, route, c.Writer.Status(), began, id)
			if end != nil {
				end(c.Writer.Status())
			}
		}()
		defer s.contain(c, &id)
		id = answer(c, route)
	}
}

// contain turns a panic into the fixed internal problem; its text and stack are only logged. A panic after the answer
// has begun ends the connection, so that no half answer passes for a whole one. id becomes that of the problem.
func (s *server) contain(c *gin.Context, id *string) {
	p := recover()
	if p == nil {
		return
	}
	if p == http.ErrAbortHandler || c.Writer.Written() {
		panic(http.ErrAbortHandler)
	}
	clear(c.Writer.Header())
	*id = s.fail(c.Writer, c.Request, &fault.Error{Kind: fault.Internal, Code: "internal", Cause: fmt.Errorf("panic: %v\n%s", p, debug.Stack())})
}

// likeBody is the forms of an answer with that of the body first: a table is answered by a table unless something else is
// asked for.
func likeBody(offered []string, body string) []string {
	if i := slices.Index(offered, body); i > 0 {
		return slices.Insert(slices.Delete(slices.Clone(offered), i, i+1), 0, body)
	}
	return offered
}

// request reads and checks everything about a request except the meaning of its values. body is the media type of its
// body, empty where it has none.
func (s *server) request(c *gin.Context, route *rim.Route, now *held, body string) (*rim.Request, error) {
	query, err := rim.Parameters(c.Request.URL.RawQuery, route.Query)
	if err != nil {
		return nil, err
	}
	media, err := rim.Form(query.Get("format"), strings.Join(c.Request.Header.Values("Accept"), ","), likeBody(route.Media, body))
	if err != nil {
		return nil, err
	}
	lang, err := rim.Tongue(query.Get("lang"), strings.Join(c.Request.Header.Values("Accept-Language"), ","))
	if err != nil {
		return nil, err
	}
	if !route.Lang {
		lang = spec.Languages[0]
	}
	revision := now.revision
	if name := query.Get("revision"); name != "" {
		if revision, err = s.at(name); err != nil {
			return nil, err
		}
	}
	return &rim.Request{HTTP: c.Request, Route: route, Param: c.Param, Query: query, Lang: lang, Media: media,
		Revision: revision, Policy: revision.Defaults.Policy}, nil
}

func (s *server) at(name string) (*catalogue.Revision, error) {
	if rev, ok := s.deps.Catalogue.At(name); ok {
		return rev, nil
	}
	return nil, rim.NotHeld("revision", name, s.deps.Catalogue.Held())
}

// compute answers a POST. It returns the name of the problem, if the answer is one.
func (s *server) compute(c *gin.Context, route *rim.Route) (id string) {
	reply, req, err := s.answer(c, route)
	if err != nil {
		return s.fail(c.Writer, c.Request, err)
	}
	body := reply.Bytes
	if body == nil {
		buf := s.buffers.take()
		if body, err = encode(reply, *buf); err != nil {
			return s.fail(c.Writer, c.Request, err)
		}
		defer s.buffers.give(buf, body)
	}
	if e := reply.Effort; e != nil {
		s.deps.Metrics.Plan(e.Nodes, e.Options, e.Proven)
	}
	h := c.Writer.Header()
	if len(body) > rim.Compressible {
		h["Vary"] = []string{"Accept-Encoding"}
		if rim.Gzip(strings.Join(c.Request.Header.Values("Accept-Encoding"), ",")) {
			body = s.computed.Pack(body)
			h["Content-Encoding"] = []string{"gzip"}
		}
	}
	computedFields(h, req, reply.Header)
	c.Writer.WriteHeader(http.StatusOK)
	_, _ = c.Writer.Write(body) // a caller that has gone away is no fault
	return ""
}

// computedFields sets the header fields of a computed answer; own are those that it brings itself.
func computedFields(h http.Header, req *rim.Request, own []rim.Header) {
	h["Cache-Control"] = noStore
	h["Access-Control-Allow-Origin"] = anyOrigin
	h["Access-Control-Expose-Headers"] = exposedHeaders
	more := guards(req.Media)
	values := make([]string, 0, 3+len(more)+len(own)) // one piece of memory for all
	set := func(name, value string) {
		values = append(values, value)
		h[name] = values[len(values)-1 : len(values) : len(values)]
	}
	set("Content-Type", contentType(req.Media))
	set("Catalogue-Revision", req.Revision.Name)
	set("Content-Language", req.Lang)
	for _, f := range more {
		set(f.Name, f.Value)
	}
	for _, f := range own {
		set(f.Name, f.Value)
	}
}

// shortJudging is the body of a judging that is over long before any deadline: what it asks for takes as long as reading
// it a few times.
const shortJudging = 16 << 10

func (s *server) answer(c *gin.Context, route *rim.Route) (rim.Reply, *rim.Request, error) {
	key, err := s.key(c.Request)
	if refused := s.charge(c.Writer, c.Request, route, key, c.Request.ContentLength); refused != nil {
		err = refused
	}
	if err != nil {
		return rim.Reply{}, nil, err
	}
	media, err := rim.MediaType(c.Request.Header, route.Reads...)
	if err != nil {
		return rim.Reply{}, nil, err
	}
	req, err := s.request(c, route, s.current(), media)
	if err != nil {
		return rim.Reply{}, nil, err
	}
	if key != nil && key.Policy != nil {
		req.Policy, req.Pinned = *key.Policy, true
	}
	req.BodyMedia = media
	body, release, err := s.gates.bodies.Read(c.Request, route.Body)
	defer release()
	if c.Request.ContentLength < 0 {
		if refused := s.charge(c.Writer, c.Request, route, key, int64(len(body))); refused != nil {
			err = refused
		}
	}
	if err != nil {
		return rim.Reply{}, nil, err
	}
	req.Body = body
	ctx := c.Request.Context()
	if route.Class != rim.Judge || len(body) >= shortJudging {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, s.cfg.Deadline)
		defer cancel()
		req.HTTP = c.Request.WithContext(ctx)
	}
	leave, err := s.gates.enter(ctx, route.Class, len(body))
	if err != nil {
		return rim.Reply{}, nil, err
	}
	defer leave()
	reply, err := route.Handle(req)
	if err != nil && ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		err = &fault.Error{Kind: fault.Unavailable, Code: "out_of_time", Detail: note.New("found_work_did_not_end"), RetryAfter: 1, Cause: err}
	}
	return reply, req, err
}
