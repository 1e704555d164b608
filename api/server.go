package api

import (
	"log/slog"
	"net/http"
	"runtime"
	"sync/atomic"
	"time"

	"github.com/gin-gonic/gin"

	"endfloat/api/metrics"
	"endfloat/api/middleware"
	"endfloat/api/quota"
	"endfloat/api/rim"
	"endfloat/api/signature"
	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// Deps are what the service stands on.
type Deps struct {
	Catalogue catalogue.Source
	Log       *slog.Logger
	Version   string
	Keys      Keys            // that were issued; nil: none
	Signing   signature.Keys  // of signed sheets; the zero value signs nothing
	Draining  func() bool     // the service is about to stop; nil: never
	Warnings  func() []string // what is wrong although the service is ready; nil: nothing
	Metrics   *metrics.Set    // counts what is answered; nil: nothing is counted
	Tracer    Tracer          // records requests; nil: nobody collects
	Limiter   *quota.Limiter  // charges callers; nil: nobody is charged
}

// Config are the settings of the HTTP side. The zero value is ready.
type Config struct {
	TrustedProxies  []string
	PublicURL       string        // where the service is reached, without a slash at the end; empty: addresses stay relative
	SecurityContact string        // URI of the contact in security.txt; empty: a role mailbox
	Deadline        time.Duration // of one computed answer; 0 means 10 s
	Plans           int           // computed at once; 0 means half the processors
	Judgings        int           // computed at once; 0 means four a processor
	Bodies          int64         // bytes of bodies that are held at once; 0 means 128 MiB
	Slow            time.Duration // from which on an answer is logged as slow; 0 means 1 s
}

// New is the whole service as a handler. Errors: a trusted proxy that is no address.
func New(deps Deps, cfg Config) (http.Handler, error) {
	s := &server{deps: deps, cfg: cfg.withDefaults(), book: text.New()}
	var err error
	if s.proxies, err = quota.ParseProxies(cfg.TrustedProxies); err != nil {
		return nil, err
	}
	s.gates = newGates(s.cfg, runtime.GOMAXPROCS(0))
	s.gates.show(deps.Metrics)
	s.show(deps.Metrics)
	s.kept, s.computed = rim.Packers()
	routes := Routes(s.book, deps, s.cfg)
	s.watch = newWatch(deps, routes, s.cfg.Slow)
	engine, err := s.engine(routes)
	if err != nil {
		return nil, err
	}
	return s.ready(s.preflight(middleware.CORS(engine, methodsOf(routes), func(w http.ResponseWriter, r *http.Request, err error) { s.fail(w, r, err) }))), nil
}

func (c Config) withDefaults() Config {
	if c.Deadline <= 0 {
		c.Deadline = 10 * time.Second
	}
	if c.Plans <= 0 {
		c.Plans = max(1, runtime.GOMAXPROCS(0)/2)
	}
	if c.Judgings <= 0 {
		c.Judgings = 4 * runtime.GOMAXPROCS(0)
	}
	if c.Bodies <= 0 {
		c.Bodies = 128 << 20
	}
	if c.Slow <= 0 {
		c.Slow = time.Second
	}
	return c
}

type server struct {
	deps  Deps
	cfg   Config
	book  *text.Book
	gates *gates
	now   atomic.Pointer[held]
	watch *watch
	swaps atomic.Int64 // of revisions, as answers saw them

	kept, computed *rim.Packer
	buffers        buffers

	proxies   quota.Proxies
	suspected atomic.Bool // a proxy that nobody named was seen, and told of
}

// held is the revision in use with its ready answers: a new revision starts with none.
type held struct {
	revision *catalogue.Revision
	pages    *rim.Pages
}

// current is what is held of the revision in use, made where another one came into use.
func (s *server) current() *held {
	before := s.now.Load() // first, so that nobody who was slow puts an older revision back
	revision := s.deps.Catalogue.Current()
	if before != nil && before.revision == revision {
		return before
	}
	h := &held{revision: revision, pages: rim.NewPages()}
	if s.now.CompareAndSwap(before, h) && before != nil {
		s.swaps.Add(1)
	}
	return h
}

func (s *server) engine(routes []rim.Route) (*gin.Engine, error) {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.RedirectTrailingSlash = false
	e.RedirectFixedPath = false
	e.HandleMethodNotAllowed = true
	e.ContextWithFallback = true
	e.UseRawPath = true
	e.UnescapePathValues = true
	if err := e.SetTrustedProxies(nil); err != nil { // quota.Proxies reads addresses
		return nil, err
	}
	for i := range routes {
		r := &routes[i]
		h := s.adapt(r)
		e.Handle(r.Method, r.Path, h)
		if r.Method == http.MethodGet {
			e.Handle(http.MethodHead, r.Path, h)
		}
	}
	e.NoRoute(func(c *gin.Context) {
		defer s.nowhere(c, time.Now())
		s.fail(c.Writer, c.Request, &fault.Error{Kind: fault.NotFound, Code: "no_such_address",
			Detail: note.New("found_nothing_stands_address_get", note.Str("address", "/v1"))})
	})
	e.NoMethod(func(c *gin.Context) {
		defer s.nowhere(c, time.Now())
		allowed := c.Writer.Header().Get("Allow") + ", OPTIONS" // which CORS answers
		c.Header("Allow", allowed)
		s.fail(c.Writer, c.Request, &fault.Error{Kind: fault.Method, Code: "method_not_allowed", Detail: note.New("found_address_answers", note.Str("list", allowed))})
	})
	return e, nil
}
