export const request = {
  empty: "Nothing here yet",
};
