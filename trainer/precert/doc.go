// Package precert is what practice for a welder's test adds to a session: what a test
// would qualify for. It knows no screen.
//
// It certifies nothing: a qualification is made by an examiner to the code in force.
package precert
