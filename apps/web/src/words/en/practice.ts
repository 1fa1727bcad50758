export const practice = {
  empty: "Nothing here yet",
};
