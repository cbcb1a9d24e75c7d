#ifndef NOONKEEP_CLP_STOP_H
#define NOONKEEP_CLP_STOP_H
#ifdef __cplusplus
extern "C" {
#endif

/* Makes the model look at *flag once an iteration and stop when it is not 0. */
void noonkeep_watch(void *model, const int *flag);

#ifdef __cplusplus
}
#endif
#endif
