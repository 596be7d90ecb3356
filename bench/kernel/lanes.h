/* Eight runs at a time: the number type, choices without branches, and short polynomials.
 *
 * The same sums as src/skimwright/run/lanes.py, in C with the vector types of the compiler.  Kept only to be
 * measured against.
 */
#ifndef LANES_H
#define LANES_H

#include <math.h>

#ifdef __AVX512DQ__
#include <immintrin.h>
#endif

#define WIDTH 8

typedef double v8 __attribute__((vector_size(64)));
typedef long long i8 __attribute__((vector_size(64)));

#define LAW static inline __attribute__((always_inline))

LAW v8 all(double x) { return (v8){x, x, x, x, x, x, x, x}; }

#ifdef __AVX512DQ__
typedef __mmask8 flags;
LAW flags above(v8 a, v8 b) { return _mm512_cmp_pd_mask((__m512d)a, (__m512d)b, _CMP_GT_OQ); }
LAW v8 pick(flags m, v8 yes, v8 no) { return (v8)_mm512_mask_blend_pd(m, (__m512d)no, (__m512d)yes); }
LAW int anywhere(flags m) { return m != 0; }
LAW v8 root(v8 x) { return (v8)_mm512_sqrt_pd((__m512d)x); }
LAW v8 size(v8 x) { return (v8)_mm512_abs_pd((__m512d)x); }
LAW v8 whole(v8 x) { return (v8)_mm512_roundscale_pd((__m512d)x, _MM_FROUND_TO_NEG_INF | _MM_FROUND_NO_EXC); }
LAW i8 as_int(v8 x) { return (i8)_mm512_cvttpd_epi64((__m512d)x); }
LAW v8 as_double(i8 x) { return (v8)_mm512_cvtepi64_pd((__m512i)x); }
LAW v8 gather(const double *table, v8 at) { return (v8)_mm512_i64gather_pd((__m512i)as_int(at), table, 8); }
#else
typedef i8 flags;
LAW flags above(v8 a, v8 b) { return a > b; }
LAW v8 pick(flags m, v8 yes, v8 no) { return (v8)((m & (i8)yes) | (~m & (i8)no)); }
LAW int anywhere(flags m) {
    long long any = 0;
    for (int l = 0; l < WIDTH; l++) any |= m[l];
    return any != 0;
}
#define EACH(type, given, what) ({ type out_; for (int l = 0; l < WIDTH; l++) out_[l] = what((given)[l]); out_; })
LAW v8 root(v8 x) { return EACH(v8, x, __builtin_sqrt); }
LAW v8 size(v8 x) { return EACH(v8, x, __builtin_fabs); }
LAW v8 whole(v8 x) { return EACH(v8, x, __builtin_floor); }
LAW i8 as_int(v8 x) { return __builtin_convertvector(x, i8); }
LAW v8 as_double(i8 x) { return __builtin_convertvector(x, v8); }
LAW v8 gather(const double *table, v8 at) {
    v8 out;
    for (int l = 0; l < WIDTH; l++) out[l] = table[(long long)at[l]];
    return out;
}
#endif

LAW v8 most(v8 a, v8 b) { return pick(above(a, b), a, b); }
LAW v8 least(v8 a, v8 b) { return pick(above(b, a), a, b); }
LAW v8 within(v8 x, double low, double high) { return least(most(x, all(low)), all(high)); }
LAW v8 between(v8 x, double low, v8 high) { return least(most(x, all(low)), high); }

/* 0 below low, 1 above high, and smoothly between. */
LAW v8 smooth(v8 x, double low, double high) {
    v8 t = within((x - low) / (high - low), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/* Logarithm to base 2 of x > 0: exponent, and a series for the mantissa between sqrt(1/2) and sqrt(2). */
LAW v8 log_2(v8 x) {
    i8 bits = (i8)x;
    i8 e = (bits - 0x3FE6A09E667F3BCDLL) >> 52;
    v8 m = (v8)(bits - (e << 52));
    v8 t = (m - 1.0) / (m + 1.0), s = t * t;
    v8 p = 0.3205988979753252 + s * 0.2623081892525388;
    p = 0.41219858311113244 + s * p;
    p = 0.5770780163555854 + s * p;
    p = 0.9617966939259756 + s * p;
    p = 2.8853900817779268 + s * p;
    return as_double(e) + t * p;
}

/* 2 to the power x. */
LAW v8 exp_2(v8 x) {
    v8 n = whole(x + 0.5), f = x - n;
    v8 p = 0.00015403530393381608 + f * 1.525273380405984e-05;
    p = 0.0013333558146428443 + f * p;
    p = 0.009618129107628477 + f * p;
    p = 0.05550410866482158 + f * p;
    p = 0.24022650695910072 + f * p;
    p = 0.6931471805599453 + f * p;
    p = 1.0 + f * p;
    return (v8)((i8)p + (as_int(n) << 52));
}

LAW v8 power(v8 x, double a) { return exp_2(a * log_2(x)); }

LAW v8 sine(v8 x) {
    v8 turns = x * (0.5 / M_PI);
    v8 r = (turns - whole(turns + 0.5)) * (2.0 * M_PI);
    r = pick(above(r, all(0.5 * M_PI)), M_PI - r, pick(above(all(-0.5 * M_PI), r), -M_PI - r, r));
    v8 s = r * r;
    v8 p = 2.7556e-06 + s * -2.4761e-08;
    p = -0.000198412666 + s * p;
    p = 0.00833333331 + s * p;
    p = -0.16666666666 + s * p;
    return r * (1.0 + s * p);
}

LAW v8 arctan(v8 x) {
    v8 a = size(x);
    flags big = above(a, all(1.0));
    v8 t = pick(big, 1.0 / most(a, all(1e-30)), a), s = t * t;
    v8 p = 0.02186293968766924 + s * -0.00405456204582004;
    p = -0.05591230128660023 + s * p;
    p = 0.09642195519925889 + s * p;
    p = -0.13908628867550704 + s * p;
    p = 0.19946565520185242 + s * p;
    p = -0.3332986077334259 + s * p;
    p = t * (0.9999993355757136 + s * p);
    p = pick(big, 0.5 * M_PI - p, p);
    return pick(above(all(0.0), x), -p, p);
}

#endif
