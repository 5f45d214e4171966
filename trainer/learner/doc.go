// Package learner estimates a learner's skills from welded coupons and says
// which joint to weld next, and why. It is arithmetic: coupons, joints and the
// time go in; it reads no clock and no file.
package learner
