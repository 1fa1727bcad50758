export const custody = {
  empty: "Nothing here yet",
};
