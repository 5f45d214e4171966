package cli

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"

	"puddlewise/trainer/record"
)

// interruptible gives a context that a signal ends, a closed terminal's among them: the
// front ends then leave as they do when they are told to.
func interruptible() (context.Context, context.CancelFunc) {
	return signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
}

// sitting is a learner in front of the program: the open record, what it remembers, and a
// context that a signal ends.
type sitting struct {
	ctx      context.Context
	stop     context.CancelFunc
	store    *record.Store
	settings record.Settings
}

// sit opens the record; end closes it.
func (a *app) sit() (*sitting, error) {
	store, err := a.openRecord()
	if err != nil {
		return nil, err
	}
	settings, err := store.Settings()
	if err != nil {
		return nil, errors.Join(err, store.Close())
	}
	ctx, stop := interruptible()
	return &sitting{ctx, stop, store, settings}, nil
}

// save changes what is remembered. It is read again first: only what the learner changes is changed.
func (s *sitting) save(change func(*record.Settings)) error {
	remembered, err := s.store.Settings()
	if err != nil {
		return err
	}
	change(&remembered)
	return s.store.SaveSettings(remembered)
}

// end closes the record after a front end that ended with err; a signal is no error.
func (s *sitting) end(err error) error {
	if s.ctx.Err() != nil && errors.Is(err, context.Canceled) {
		err = nil
	}
	s.stop()
	return errors.Join(err, s.store.Close())
}
