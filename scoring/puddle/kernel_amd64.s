#include "go_asm.h"
#include "textflag.h"

// The kernels of kernel.go, four columns at a time. Every product, sum and quotient is
// the same, in the same order and rounded on its own (no fused instruction), so that each
// lane holds the bits the Go loop gives: see TestWideIsTheSame.
//
// DI the kernel, R15 how far along the row, bytes; R8 h, R9 out, R11 theta at the column,
// AX BX CX DX theta of the neighbours, SI west, R12 east, R14 the table; R10 and R13 are
// free. Y0 mu, Y1 nu, Y2 to Y5 factors of the neighbours, Y6 their sum, Y7 mt, Y8 1/bin,
// Y9 the last bin, Y10 zero; Y11 the sum so far.

#define LOAD \
	MOVQ k+0(FP), DI \
	MOVQ kernel_h(DI), R8 \
	MOVQ kernel_out(DI), R9 \
	MOVQ kernel_th(DI), R11 \
	ADDQ $8, R11 \
	MOVQ kernel_a(DI), AX \
	MOVQ kernel_b(DI), BX \
	MOVQ kernel_c(DI), CX \
	MOVQ kernel_d(DI), DX \
	MOVQ kernel_west(DI), SI \
	MOVQ kernel_east(DI), R12 \
	MOVQ kernel_lines(DI), R14 \
	VBROADCASTSD kernel_mu(DI), Y0 \
	VBROADCASTSD kernel_nu(DI), Y1 \
	VBROADCASTSD kernel_ga(DI), Y2 \
	VBROADCASTSD kernel_gb(DI), Y3 \
	VBROADCASTSD kernel_gc(DI), Y4 \
	VBROADCASTSD kernel_gd(DI), Y5 \
	VBROADCASTSD kernel_gsum(DI), Y6 \
	VBROADCASTSD kernel_mt(DI), Y7 \
	VBROADCASTSD kernel_perBin(DI), Y8 \
	VBROADCASTSD kernel_lastBin(DI), Y9 \
	VXORPD Y10, Y10, Y10 \
	XORQ R15, R15

// Two neighbours alike: g*(p+q).
#define ALIKE(g, p, q, into) \
	VMOVUPD (p)(R15*1), into \
	VADDPD (q)(R15*1), into, into \
	VMULPD into, g, into

// plus g*p.
#define PLUS(g, p) \
	VMULPD (p)(R15*1), g, Y12 \
	VADDPD Y12, Y11, Y11

#define SOURCE \
	MOVQ kernel_src(DI), R10 \
	PLUS(Y7, R10)

// plus west*before + east*after - (gsum+both)*t
#define ALONG \
	VMOVUPD (SI)(R15*1), Y12 \
	VMULPD -8(R11)(R15*1), Y12, Y12 \
	VADDPD Y12, Y11, Y11 \
	VMOVUPD (R12)(R15*1), Y12 \
	VMULPD 8(R11)(R15*1), Y12, Y12 \
	VADDPD Y12, Y11, Y11 \
	MOVQ kernel_both(DI), R10 \
	VADDPD (R10)(R15*1), Y6, Y12 \
	VMULPD (R11)(R15*1), Y12, Y12 \
	VSUBPD Y12, Y11, Y11

#define FILLED \
	MOVQ kernel_mass(DI), R10 \
	VDIVPD (R10)(R15*1), Y11, Y11

// mu*h + nu*out + the sum into Y11; its theta by the table into Y12. The bin is h by a
// power of two, cut off: what int64(h)>>shift is, with both ends held.
#define STEP \
	VMULPD (R8)(R15*1), Y0, Y12 \
	VMULPD (R9)(R15*1), Y1, Y13 \
	VADDPD Y13, Y12, Y12 \
	VADDPD Y11, Y12, Y11 \
	VMULPD Y11, Y8, Y12 \
	VMINPD Y9, Y12, Y12 \
	VMAXPD Y10, Y12, Y12 \
	VCVTTPD2DQY Y12, X12 \
	VPADDD X12, X12, X12 \
	VMOVQ X12, R10 \
	MOVL R10, R13 \
	SHRQ $32, R10 \
	VMOVUPD (R14)(R13*8), X13 \
	VMOVUPD (R14)(R10*8), X14 \
	VPEXTRQ $1, X12, R10 \
	MOVL R10, R13 \
	SHRQ $32, R10 \
	VINSERTF128 $1, (R14)(R13*8), Y13, Y13 \
	VINSERTF128 $1, (R14)(R10*8), Y14, Y14 \
	VUNPCKLPD Y14, Y13, Y12 \
	VUNPCKHPD Y14, Y13, Y13 \
	VMULPD Y11, Y13, Y13 \
	VADDPD Y13, Y12, Y12

// A whole row: fours, then what is left over, of which as much is stored as there is.
// Loads past the row's end stay within its pad.
#define ROW(cells) \
	LOAD \
	MOVQ kernel_h+8(DI), R13 \
	SHLQ $3, R13 \
	ANDQ $~31, R13 \
	MOVQ R13, fours-8(SP) \
	JMP test \
loop: \
	cells \
	VMOVUPD Y11, (R9)(R15*1) \
	MOVQ kernel_up(DI), R10 \
	VMOVUPD Y12, (R10)(R15*1) \
	ADDQ $32, R15 \
test: \
	CMPQ R15, fours-8(SP) \
	JLT loop \
	MOVQ kernel_h+8(DI), R13 \
	TESTQ $3, R13 \
	JZ done \
	cells \
	MOVQ kernel_up(DI), R10 \
	MOVQ kernel_h+8(DI), R13 \
	TESTQ $2, R13 \
	JZ one \
	VMOVUPD X11, (R9)(R15*1) \
	VMOVUPD X12, (R10)(R15*1) \
	ADDQ $16, R15 \
	VEXTRACTF128 $1, Y11, X11 \
	VEXTRACTF128 $1, Y12, X12 \
one: \
	TESTQ $1, R13 \
	JZ done \
	VMOVSD X11, (R9)(R15*1) \
	VMOVSD X12, (R10)(R15*1) \
done: \
	VZEROUPPER \
	RET

#define PAIRS \
	ALIKE(Y2, AX, BX, Y11) \
	ALIKE(Y4, CX, DX, Y12) \
	VADDPD Y12, Y11, Y11 \
	ALONG \
	STEP

#define PAIRONE \
	ALIKE(Y2, AX, BX, Y11) \
	PLUS(Y4, CX) \
	ALONG \
	SOURCE \
	STEP

#define TWO \
	VMULPD (AX)(R15*1), Y2, Y11 \
	PLUS(Y3, BX) \
	ALONG \
	SOURCE \
	STEP

#define FOUR \
	VMULPD (AX)(R15*1), Y2, Y11 \
	PLUS(Y3, BX) \
	PLUS(Y4, CX) \
	PLUS(Y5, DX) \
	ALONG \
	SOURCE

#define ANY \
	FOUR \
	STEP

#define ANYFILLED \
	FOUR \
	FILLED \
	STEP

// func widePairs(k *kernel)
TEXT ·widePairs(SB), NOSPLIT, $8-8
	ROW(PAIRS)

// func widePairOne(k *kernel)
TEXT ·widePairOne(SB), NOSPLIT, $8-8
	ROW(PAIRONE)

// func wideTwo(k *kernel)
TEXT ·wideTwo(SB), NOSPLIT, $8-8
	ROW(TWO)

// func wideAny(k *kernel)
TEXT ·wideAny(SB), NOSPLIT, $8-8
	ROW(ANY)

// func wideFilled(k *kernel)
TEXT ·wideFilled(SB), NOSPLIT, $8-8
	ROW(ANYFILLED)

// func canWide() bool
//
// AVX2, and a system that keeps its registers: Intel SDM volume 1, 14.3 and 14.7.1.
TEXT ·canWide(SB), NOSPLIT, $0-1
	MOVB $0, ret+0(FP)
	XORL AX, AX
	CPUID
	CMPL AX, $7
	JLT no
	MOVL $1, AX
	XORL CX, CX
	CPUID
	ANDL $0x18000000, CX // OSXSAVE, AVX
	CMPL CX, $0x18000000
	JNE no
	XORL CX, CX
	XGETBV
	ANDL $6, AX
	CMPL AX, $6
	JNE no
	MOVL $7, AX
	XORL CX, CX
	CPUID
	TESTL $0x20, BX // AVX2
	JZ no
	MOVB $1, ret+0(FP)
no:
	RET
